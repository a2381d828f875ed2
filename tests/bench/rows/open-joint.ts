import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import type { Page } from 'playwright-core';
import type { SampleChunk } from '#core/sample/chunk';
import { launchChromium } from '../../support/browser.ts';
import { atLeast, atMost, type BenchContext, type Benchmark, notMeasured } from '../harness/figure.ts';
import { addLongJoint, longPass, openStore } from '../harness/long-joint.ts';
import { ratioOf, show, showMedian, takeTurns } from '../harness/measure.ts';
import { startDashboard } from '../harness/programs.ts';
import { startRole } from '../harness/role.ts';

const PASS_S = 2400;
const SLOW = { joint: 'J-100', rig: 'rig-1', passS: PASS_S, rateHz: 100 };
const FAST = { joint: 'J-1000', rig: 'rig-2', passS: PASS_S, rateHz: 1000 };
const CHANNELS = 4;
const ROUNDS = 3;
const NO_CHROMIUM = 'Chromium is not installed (apt-get install chromium)';
const WHAT = `click to pixels, ${PASS_S / 60} min at 100 Hz, against rows, JSON and chart`;
const WHAT_FAST = 'the same joint at 1 kHz, against 100 Hz';

function fillRows(file: string, { n, tUs, columns }: SampleChunk): void {
  const db = new Database(file);
  db.exec('CREATE TABLE sample (t REAL PRIMARY KEY, current REAL, voltage REAL, feed REAL, travel REAL)');
  const insert = db.prepare('INSERT INTO sample VALUES (?, ?, ?, ?, ?)');
  const { weldingCurrent, arcVoltage, wireFeedSpeed, travelSpeed } = columns;
  db.transaction(() => {
    for (let i = 0; i < n; i++) {
      insert.run(
        ...[tUs[i]! / 1e6, weldingCurrent![i]!, arcVoltage![i]!, wireFeedSpeed![i]!, travelSpeed![i]!],
      );
    }
  })();
  db.close();
}

/** In the page: clicks a link to `hash`; ms until `selector` has found every chart and a frame with them is drawn. */
async function clickToPixels([hash, selector, charts]: [string, string, number]): Promise<number> {
  const link = document.body.appendChild(document.createElement('a'));
  link.href = hash;
  const start = performance.now();
  link.click();
  link.remove();
  const frame = () => new Promise(resolve => requestAnimationFrame(resolve));
  while (document.querySelectorAll(selector).length < charts) await frame();
  await frame();
  await frame();
  const took = performance.now() - start;
  for (const canvas of document.querySelectorAll<HTMLCanvasElement>(selector)) {
    const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
    if (!data.some(value => value > 0)) throw new Error('a chart is empty');
  }
  return took;
}

async function openReview(page: Page, joint: string): Promise<number> {
  const selector = '.channel-stack canvas';
  const asked: [string, string, number] = [`#/joints/${joint}/review`, selector, CHANNELS];
  const took = await page.evaluate(clickToPixels, asked);
  await page.evaluate(() => {
    location.hash = '#/about';
  });
  await page.waitForFunction(of => document.querySelector(of) === null, selector);
  return took;
}

async function openPlain(page: Page, rows: number): Promise<number> {
  const { took, came } = await page.evaluate(async () => {
    const plain = globalThis as unknown as { openJoint(): Promise<void>; closeJoint(): void };
    const start = performance.now();
    await plain.openJoint();
    const frame = () => new Promise(resolve => requestAnimationFrame(resolve));
    await frame();
    await frame();
    const ms = performance.now() - start;
    plain.closeJoint();
    return { took: ms, came: Number(document.body.dataset['rows']) };
  });
  if (came !== rows) throw new Error(`${came} of ${rows} rows came to the plain page`);
  return took;
}

export const openJoint: Benchmark = {
  id: 'G16',
  title: 'open a joint',
  how: `The built page in headless Chromium before the built dashboard: from the click on a joint to the frame in which the review of it stands with four channels drawn, of a pass of ${PASS_S / 60} minutes at 100 Hz (${100 * PASS_S} samples); a fresh program's first opening is not counted, which cuts the windows (row REVIEW). Baseline: a page of its own with what one writes first (tests/bench/roles/plain-page.ts): all rows of a table of samples as JSON, each channel into a line chart of chart.js with its usual settings but no animation. Then the same pass at 1 kHz against 100 Hz. No canvas may be empty, and every row must have come.`,
  run: async (context: BenchContext) => {
    const goals = ['≥ 50× faster', '≤ 1.1×'] as const;
    if (!existsSync('/usr/bin/chromium')) {
      return [
        notMeasured('G16', WHAT, goals[0], NO_CHROMIUM),
        notMeasured('G16', WHAT_FAST, goals[1], NO_CHROMIUM),
      ];
    }
    const data = join(context.scratch, 'open-joint');
    const store = openStore(data);
    const samples = longPass(SLOW);
    addLongJoint(store, SLOW, samples);
    addLongJoint(store, FAST, longPass(FAST));
    store.close();
    const file = join(context.scratch, 'open-joint-rows.db');
    fillRows(file, samples);
    const chartJs = join(dirname(dirname(context.baselines)), '..', 'node_modules/chart.js/dist');
    const dashboard = await startDashboard(context, data);
    const plain = await startRole<{ port: number }>(context, 'plain-page', [file, chartJs]);
    const browser = await launchChromium();
    try {
      const page = await browser.newPage();
      await page.goto(`${dashboard.http}/#/about`);
      const plainPage = await browser.newPage();
      await plainPage.goto(`http://127.0.0.1:${plain.said.port}/`);
      const ms = await takeTurns(
        { rounds: ROUNDS },
        {
          slow: async () => {
            await page.bringToFront();
            return await openReview(page, SLOW.joint);
          },
          plain: async () => {
            await plainPage.bringToFront();
            return await openPlain(plainPage, samples.n);
          },
          fast: async () => {
            await page.bringToFront();
            return await openReview(page, FAST.joint);
          },
        },
      );
      const faster = ratioOf(ms.plain, ms.slow);
      const dearer = ratioOf(ms.fast, ms.slow);
      const subject = showMedian(ms.slow, 'ms');
      return [
        {
          id: 'G16',
          what: WHAT,
          goal: goals[0],
          ratio: faster,
          subject,
          baseline: showMedian(ms.plain, 'ms'),
          verdict: atLeast(faster, 50),
          note: `the review is more than its charts; the page waits for frames of ${show(1000 / 60, 'ms')}.`,
        },
        {
          id: 'G16',
          what: WHAT_FAST,
          goal: goals[1],
          ratio: dearer,
          subject: showMedian(ms.fast, 'ms'),
          baseline: subject,
          verdict: atMost(dearer, 1.1),
        },
      ];
    } finally {
      await browser.close();
      await plain.stop();
      await dashboard.stop();
    }
  },
};
