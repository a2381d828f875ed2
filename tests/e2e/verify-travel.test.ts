import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { noChromium } from '../support/browser.ts';
import type { RigFixture } from '../support/dashboard-fixtures.ts';
import { openWithJournal, readinessOf } from '../support/fake-journal.ts';
import { waitUntil } from '../support/wait-until.ts';
import { shownText, webPage } from '../support/web-page.ts';

const rigs: readonly RigFixture[] = [
  { rig: 'rig-3', place: 0, arc: 'off' },
  { rig: 'rig-4', place: 1 },
];
const TRAVEL = '#/rigs/spread-1/rig-3/verify/travel';
const iso = (ms: number): string => new Date(ms).toISOString();

/** Runs the page's timer for so many seconds of its own clock. */
async function timeRun(page: Page, seconds: number): Promise<void> {
  await page.getByRole('button', { name: 'START' }).click();
  await page.locator('.timer[data-run="running"]').waitFor();
  await page.clock.fastForward(seconds * 1000);
  await page.locator('.timer[data-run="due"]').waitFor();
  await page.getByRole('button', { name: 'STOP' }).click();
  await page.locator('.timer[data-run="stopped"]').waitFor();
}
const measured = (page: Page): Promise<string> => page.getByLabel('Run time, s').inputValue();
const who = (page: Page) => page.getByLabel('Who made this check').selectOption({ label: 'Ines Marrow' });
const result = (page: Page) => page.locator('.result');
const save = (page: Page) => page.getByRole('button', { name: 'Save this check' });

describe.skipIf(noChromium())('a travel check', () => {
  const web = webPage();

  it('goes from the tile to a saved entry, and the tile then names what is missing next', async () => {
    const { page, journal } = await openWithJournal(web, rigs, { hash: '#/', clock: true, width: 390 }, [
      readinessOf('rig-3'),
    ]);
    await page.getByRole('link', { name: 'NOT READY travel check missing' }).click();
    await page.getByRole('link', { name: 'Check travel' }).click();
    expect(await shownText(page.locator('.caution-box'))).toMatch(
      /carriage moves.*nothing here starts, stops/s,
    );
    await page.getByLabel('Run for, s').fill('30');
    await timeRun(page, 30);
    const runS = Number(await measured(page));
    expect(runS).toBeGreaterThanOrEqual(30);
    // The carriage at the band, reported at 320 mm, passes 7.5 mm/s × 305/320 on the pipe of 610 mm.
    await page.getByLabel('Distance by tape, mm').fill(((7.5 * runS * 305) / 320).toFixed(1));
    const now = await page.evaluate(() => Date.now());
    journal.edgeRun = () => ({
      startUtc: iso(now - runS * 1000),
      endUtc: iso(now),
      runS,
      meanMmPerS: 7.53,
    });
    await page.getByRole('button', { name: 'Use it as the value shown' }).click();
    await page.locator('.result[data-result="pass"]').waitFor();
    expect(await shownText(result(page))).toMatch(/PASS[\s\S]*0\.4 % high[\s\S]*from memory, yours to set/);
    await who(page);
    await save(page).click();
    await page.getByRole('heading', { name: 'Saved' }).waitFor();
    expect(await shownText(page.locator('.saved'))).toContain('PASS: 0.4 % high');
    expect(journal.entries).toHaveLength(1);
    expect(journal.entries[0]).toMatchObject({
      author: 'p-1',
      reason: null,
      body: {
        kind: 'verification',
        site: 'spread-1',
        rig: 'rig-3',
        outcome: {
          check: 'travel',
          tapeOn: 'pipe',
          tapeRadiusMm: 305,
          referenceRadiusMm: 320,
          runS,
          shownMmPerS: 7.53,
          edgeMmPerS: 7.53,
          limitPercent: 2,
          result: 'pass',
          state: 'asFound',
        },
      },
    });
    const { body, at } = journal.entries[0]!;
    const until = body.kind === 'verification' ? Date.parse(body.validUntil!) : 0;
    // A day of the page's clock, which this test set forward by the run.
    expect(Math.abs(until - Date.parse(at) - 24 * 3_600_000)).toBeLessThan(60_000);

    web.fake().send('readiness', readinessOf('rig-3', ['travel']));
    await page.getByRole('link', { name: 'Next: wire feed' }).click();
    await page.getByRole('heading', { name: 'Wire feed check, rig-3' }).waitFor();
    await page.goto(page.url().replace(/#.*/, '#/'));
    await page.getByText('wire feed check missing').waitFor();
  });

  it('that cannot tell says how long to run, and that run can', async () => {
    const { page, journal } = await openWithJournal(web, rigs, { hash: TRAVEL, clock: true });
    await timeRun(page, 15);
    await page.getByLabel('Run time, s').fill('15');
    await page.getByLabel('Distance by tape, mm').fill(((7.5 * 15 * 305) / 320).toFixed(1));
    await page.getByLabel('What the rig showed').fill('7.54');
    await page.locator('.result[data-result="notShown"]').waitFor();
    expect(await shownText(result(page))).toContain('NOT SHOWN: RUN LONGER');
    const button = page.getByRole('button', { name: /^Time a run of \d+ s$/ });
    const seconds = Number(/\d+/.exec(await shownText(button))?.[0]);
    expect(seconds).toBeGreaterThan(15);
    await button.click();
    expect(await page.getByLabel('Run for, s').inputValue()).toBe(String(seconds));
    expect(await measured(page)).toBe('');
    await timeRun(page, seconds);
    await page
      .getByLabel('Distance by tape, mm')
      .fill(((7.5 * Number(await measured(page)) * 305) / 320).toFixed(1));
    await page.locator('.result[data-result="pass"]').waitFor();
    expect(journal.entries).toEqual([]);
  });

  it('in inches, with a fraction of the tape', async () => {
    const { page } = await openWithJournal(web, rigs, { hash: TRAVEL });
    await page.getByRole('radio', { name: 'inches' }).check();
    expect(await page.getByLabel('Outside diameter, inches').inputValue()).toBe('24.0157');
    await page.getByRole('radio', { name: 'the band' }).check();
    expect(await page.getByLabel('Band surface above the pipe, inches').inputValue()).toBe('0.5906');
    await page.getByLabel('Run time, s').fill('60');
    await page.getByLabel('Distance by tape, inches').fill('17 23/32');
    await page.getByText('= 450.1 mm').waitFor();
    await page.getByLabel('What the rig showed, in/min').fill('17.7');
    await page.locator('.result[data-result="pass"]').waitFor();
    expect(await shownText(result(page))).toContain('17.72 in × 1.00 = 17.72 in/min');
  });

  it('that fails offers a correction, which a named person records from a stated moment', async () => {
    const { page, journal } = await openWithJournal(web, rigs, { hash: TRAVEL }, [
      readinessOf('rig-3', [], {
        corrections: [
          { channel: 'travelSpeed', factor: 1.01, from: '2026-05-12T13:00:00.000Z', author: 'p-2' },
        ],
      }),
    ]);
    await page.getByText('A correction of × 1.0100 is in force').waitFor();
    await page.getByLabel('Run time, s').fill('60');
    await page.getByLabel('Distance by tape, mm').fill(((7.5 * 60 * 305) / 320).toFixed(1));
    await page.getByLabel('What the rig showed').fill('7.8');
    await page.locator('.result[data-result="fail"]').waitFor();
    expect(await shownText(result(page))).toContain('7.800 mm/s × 1.0100 = 7.878 mm/s');
    await who(page);
    await save(page).click();
    await page.getByRole('button', { name: 'Record a correction factor' }).click();
    expect(journal.entries).toHaveLength(1);
    expect(journal.entries[0]?.body).toMatchObject({ validUntil: null, outcome: { result: 'fail' } });
    const panel = page.locator('.correction');
    expect(await shownText(panel)).toMatch(
      /1\.0100[\s\S]*0\.9615 = measured 7\.500 mm\/s \/ shown 7\.800 mm\/s/,
    );
    await panel.getByLabel('Who decides this').selectOption({ label: 'Tobi Lund' });
    await panel.getByLabel('Why').fill('Wheel worn; new one ordered.');
    await panel.getByLabel('Holds from').fill('2026-05-12T14:30:00');
    await panel.getByRole('button', { name: /^Record: 1\.0100 becomes 0\.9615$/ }).click();
    await page.getByText(/Recorded: × 0\.9615 from .*, by Tobi Lund\./).waitFor();
    expect(journal.entries[1]).toMatchObject({
      author: 'p-2',
      reason: 'Wheel worn; new one ordered.',
      body: { kind: 'correction', channel: 'travelSpeed', previous: 1.01 },
    });
    const { body } = journal.entries[1]!;
    const local = await page.evaluate(() => new Date('2026-05-12T14:30:00').toISOString());
    expect(body.kind === 'correction' && body.from).toBe(local);
    // The next check of the same rig is the one as left.
    await page.getByRole('button', { name: 'Adjusted: check again as left' }).click();
    await page.getByRole('radio', { name: 'As left' }).waitFor();
    expect(await page.getByRole('radio', { name: 'As left' }).isChecked()).toBe(true);
  });

  it('keeps what was typed when the server is out of reach, also over a reload', async () => {
    const { page, journal } = await openWithJournal(web, rigs, { hash: TRAVEL });
    await page.getByLabel('Run time, s').fill('60');
    await page.getByLabel('Distance by tape, mm').fill('429');
    await page.getByLabel('What the rig showed').fill('7.5');
    await who(page);
    journal.offline = true;
    await save(page).click();
    await page
      .getByText(/Not saved: the dashboard server cannot be reached\. What you entered stays here/)
      .waitFor();
    expect(await page.getByLabel('Distance by tape, mm').inputValue()).toBe('429');
    journal.offline = false;
    await page.reload();
    expect(await page.getByLabel('Distance by tape, mm').inputValue()).toBe('429');
    await page.getByLabel('What the rig showed').waitFor();
    await who(page);
    await save(page).click();
    await page.getByRole('heading', { name: 'Saved' }).waitFor();
    expect(journal.entries).toHaveLength(1);
    // Saved, so nothing of it waits for the next check.
    await page.reload();
    expect(await page.getByLabel('Distance by tape, mm').inputValue()).toBe('');
  });

  it('does not use a time in which the device’s clocks went apart', async () => {
    const { page } = await openWithJournal(web, rigs, { hash: TRAVEL, clock: true });
    await page.getByRole('button', { name: 'START' }).click();
    await page.clock.fastForward(5000);
    // What a phone that slept sees: the wall clock has gone on, the other has not.
    await page.evaluate(() => {
      const real = Date.now;
      Date.now = () => real() + 20_000;
    });
    await page.getByRole('button', { name: 'STOP' }).click();
    await page.getByText(/clocks disagree by 20\.\d s about this run/).waitFor();
    expect(await measured(page)).toBe('');
  });

  it('names what is missing and sends nothing', async () => {
    const { page, journal } = await openWithJournal(web, rigs, { hash: TRAVEL });
    await page.getByLabel('Outside diameter, mm').fill('');
    await save(page).click();
    await page.locator('.error').first().waitFor();
    expect(await page.locator('.error').allInnerTexts()).toEqual([
      'Time the run, or enter its time from 1 to 3600 s.',
      'Enter the outside diameter.',
      'Enter the length by tape.',
      'Enter what the rig showed, more than 0.',
      'Choose or enter who made this check.',
    ]);
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('run-time');
    expect(journal.entries).toEqual([]);
  });

  it('can be timed by keys alone', async () => {
    const { page } = await openWithJournal(web, rigs, { hash: TRAVEL, clock: true });
    await page.getByLabel('Run for, s').focus();
    await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await page.locator('.timer[data-run="running"]').waitFor();
    await page.clock.fastForward(15_000);
    await page.keyboard.press('Space');
    await page.locator('.timer[data-run="stopped"]').waitFor();
    const runS = await measured(page);
    // A second press clears nothing: the button stays, spent.
    await page.keyboard.press('Enter');
    expect(await measured(page)).toBe(runS);
    await waitUntil(
      async () => (await page.evaluate(() => document.activeElement?.textContent)) === 'STOPPED',
      'the focus where it was',
    );
  });
});
