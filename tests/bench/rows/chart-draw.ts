import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { launchChromium } from '../../support/browser.ts';
import { atLeast, type BenchContext, type Benchmark, notMeasured } from '../harness/figure.ts';
import { ratioOf, showMedian, takeTurns } from '../harness/measure.ts';

const POINTS = 2000;
const CHARTS = 4;
const ROUNDS = 7;
const WHAT = `${CHARTS} charts of ${POINTS} points, as the page sets them, against chart.js as shipped`;
const WHAT_OTHER = `${CHARTS} charts of ${POINTS} points, against a chart library written for speed`;

/**
 * In the page: ms from data in memory to a frame in which it is drawn, on fresh canvases. `tuned` sets what
 * dashboard/web/charts/trend-chart.ts sets; else the chart stays as shipped, drawn when its animation is over.
 */
async function draw([tuned, charts, points]: [boolean, number, number]): Promise<number> {
  const { Chart } = globalThis as unknown as {
    Chart: new (canvas: HTMLCanvasElement, config: object) => { destroy(): void };
  };
  document.body.replaceChildren();
  const canvases = Array.from({ length: charts }, () => {
    const box = document.body.appendChild(document.createElement('div'));
    box.style.height = '160px';
    return box.appendChild(document.createElement('canvas'));
  });
  const data = Array.from({ length: points }, (_, i) => ({ x: i, y: 200 + 30 * Math.sin(i / 9) + (i % 7) }));
  const frame = () => new Promise(resolve => requestAnimationFrame(resolve));
  await frame();
  const start = performance.now();
  const scales = { x: { type: 'linear', min: 0, max: points }, y: { type: 'linear', min: 150, max: 250 } };
  let waiting: Promise<unknown>[] = [];
  const made = canvases.map(canvas => {
    if (tuned) {
      return new Chart(canvas, {
        type: 'line',
        data: { datasets: [{ data, borderWidth: 1, pointRadius: 0, pointHitRadius: 0, spanGaps: false }] },
        options: {
          ...{ animation: false, parsing: false, normalized: true, maintainAspectRatio: false, events: [] },
          plugins: { legend: { display: false }, tooltip: { enabled: false } },
          scales,
        },
      });
    }
    let done = (): void => {};
    waiting = [...waiting, new Promise<void>(resolve => (done = resolve))];
    return new Chart(canvas, {
      type: 'line',
      data: { datasets: [{ data }] },
      options: {
        maintainAspectRatio: false,
        animation: { onComplete: () => done() },
        scales: { x: { type: 'linear' } },
      },
    });
  });
  await Promise.all(waiting);
  // Read back: the lines are rastered, not only asked for.
  for (const canvas of canvases) {
    const { data: pixels } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
    if (!pixels.some(value => value > 0)) throw new Error('a chart is empty');
  }
  const took = performance.now() - start;
  for (const chart of made) chart.destroy();
  return took;
}

export const chartDraw: Benchmark = {
  id: 'G17',
  title: 'chart draw',
  fullOnly: true,
  how: `In headless Chromium: ${CHARTS} line charts of ${POINTS} points from data in memory to pixels read back from their canvases, with chart.js set as the page's trends set it (no animation, no points, no parsing, fixed scales), against chart.js as shipped, until its animation is over. Absolute times hold the animation of one second, which is what a reader waits for.`,
  run: async (context: BenchContext) => {
    const other = notMeasured('G17', WHAT_OTHER, '≤ 1.35×', 'uPlot is not installed');
    if (!existsSync('/usr/bin/chromium')) {
      return [notMeasured('G17', WHAT, '≥ 8× faster', 'Chromium is not installed'), other];
    }
    const browser = await launchChromium();
    try {
      const page: Page = await browser.newPage();
      await page.setContent('<!doctype html><body></body>');
      const root = join(context.baselines, '../../..');
      await page.addScriptTag({ path: join(root, 'node_modules/chart.js/dist/chart.umd.js') });
      const drawn = (tuned: boolean): Promise<number> =>
        page.evaluate(draw, [tuned, CHARTS, POINTS] as [boolean, number, number]);
      const ms = await takeTurns(
        { rounds: ROUNDS, warmUps: 2 },
        { tuned: () => drawn(true), shipped: () => drawn(false) },
      );
      const faster = ratioOf(ms.shipped, ms.tuned);
      return [
        {
          ...{ id: 'G17', what: WHAT, goal: '≥ 8× faster', ratio: faster, verdict: atLeast(faster, 8) },
          ...{ subject: showMedian(ms.tuned, 'ms'), baseline: showMedian(ms.shipped, 'ms') },
        },
        other,
      ];
    } finally {
      await browser.close();
    }
  },
};
