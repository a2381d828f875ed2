import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { launchChromium } from '../../support/browser.ts';
import { startFakeDashboard } from '../../support/fake-dashboard.ts';
import { plainCanvases } from '../baselines/plain-canvases.ts';
import { atMost, type Benchmark, type Figure, notMeasured } from '../harness/figure.ts';
import { quantile, ratioOf, show, showMedian, spreadOf, takeTurns } from '../harness/measure.ts';
import { type PageLoad, pageLoad } from '../harness/page-load.ts';

const RIGS = 16;
const SETTLE_MS = 2000;
const WATCH_MS = 5000;
/** A truck's screen. */
const SCREEN = { width: 1920, height: 1080 };

/** Sixteen sides of eight joints, all with an arc; one out of range, so that its tile and ring carry flags. */
const rigs = Array.from({ length: RIGS }, (_, place) => ({
  rig: `rig-${place + 1}`,
  place,
  joint: `J-${412 + Math.floor(place / 2)}`,
  side: place % 2 === 0 ? ('A' as const) : ('B' as const),
}));

async function watched(
  browser: Browser,
  url: string,
  begin: (page: Page) => Promise<void>,
): Promise<PageLoad> {
  const context = await browser.newContext({ viewport: SCREEN, serviceWorkers: 'block' });
  try {
    const page = await context.newPage();
    await page.goto(url);
    await begin(page);
    await page.waitForTimeout(SETTLE_MS);
    return await pageLoad(page, WATCH_MS);
  } finally {
    await context.close();
  }
}

export const liveWall: Benchmark = {
  id: 'G18',
  title: 'sixteen rigs on one screen',
  fullOnly: true,
  how: `The built page in headless Chromium at ${SCREEN.width} × ${SCREEN.height}: the live view of ${RIGS} sides of eight joints, every side welding, live values ten times a second from a stand-in server; for ${WATCH_MS / 1000} s the page's own animation frames and the processor time of its main thread, by Chromium's count. Baseline, in turns: a page that reads the same stream and draws ${RIGS} plain canvases of 300 points and a number with every frame of it.`,
  run: async ({ dist }) => {
    const what = 'live view against sixteen plain canvases, ';
    if (!existsSync('/usr/bin/chromium')) {
      return [notMeasured('G18', what, '≤ 2×', 'Chromium is not installed')];
    }
    const server = await startFakeDashboard(join(dist, 'web'), rigs);
    const browser = await launchChromium();
    try {
      const loads = await takeTurns(
        { rounds: 3, warmUps: 0 },
        {
          wall: () =>
            watched(browser, `${server.url}/#/`, async page => {
              await page
                .locator('.tile[data-status="arcOn"]')
                .nth(RIGS - 1)
                .waitFor();
            }),
          canvases: () =>
            watched(browser, `${server.url}/api/v1/people`, async page => {
              void page.evaluate(plainCanvases).catch(() => {});
            }),
        },
      );
      return figures(loads.wall, loads.canvases);
    } finally {
      await browser.close();
      await server.stop();
    }
  },
};

function figures(wall: readonly PageLoad[], canvases: readonly PageLoad[]): Figure[] {
  const at = (loads: readonly PageLoad[], share: number): number[] =>
    loads.map(({ frames }) => quantile(frames, share));
  const main = (loads: readonly PageLoad[]): number[] => loads.map(({ mainThread }) => 100 * mainThread);
  const frames = ratioOf(at(wall, 0.95), at(canvases, 0.95));
  const share = ratioOf(main(wall), main(canvases));
  const text = (loads: readonly PageLoad[]): string =>
    `${show(spreadOf(at(loads, 0.5)).median, 'ms')} median, ${show(spreadOf(at(loads, 0.95)).median, 'ms')} p95`;
  const rate = spreadOf(
    wall.map(load => (1000 * load.frames.length) / load.frames.reduce((sum, ms) => sum + ms, 0)),
  );
  return [
    {
      ...{
        id: 'G18',
        what: 'live view of 16 rigs, frame to frame, 95th percentile, against 16 plain canvases',
      },
      ...{ goal: '≤ 1.05× (our own)', ratio: frames, subject: text(wall), baseline: text(canvases) },
      verdict: atMost(frames, 1.05),
      note: `${rate.median.toFixed(1)} frames a second (${rate.low.toFixed(1)}–${rate.high.toFixed(1)}); longest ${show(Math.max(...at(wall, 1)), 'ms')}, of the canvases ${show(Math.max(...at(canvases, 1)), 'ms')}.`,
    },
    {
      ...{ id: 'G18', what: 'live view of 16 rigs, main thread, against 16 plain canvases', goal: '≤ 2×' },
      ...{ ratio: share, subject: showMedian(main(wall), '% of a core') },
      ...{ baseline: showMedian(main(canvases), '% of a core'), verdict: atMost(share, 2) },
    },
  ];
}
