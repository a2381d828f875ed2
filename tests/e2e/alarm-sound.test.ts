import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { noChromium } from '../support/browser.ts';
import type { RigFixture } from '../support/dashboard-fixtures.ts';
import { fakeAlarm, fakeNoData, fakePicture } from '../support/fake-alarms.ts';
import { waitUntil } from '../support/wait-until.ts';
import { shownText, webPage } from '../support/web-page.ts';

const two: readonly RigFixture[] = [
  { rig: 'rig-3', place: 0, alongMm: 400 },
  { rig: 'rig-4', place: 1, alongMm: 430 },
];

/** The tones that the page has started, by their pitch, in order. */
const tones = (page: Page): Promise<number[]> =>
  page.evaluate(() => (window as unknown as { tones: number[] }).tones);
const button = (page: Page, name: string | RegExp) => page.getByRole('button', { name });
const HIGH = 880;
const MEDIUM = 620;

describe.skipIf(noChromium())('the sound of alarms', () => {
  const { open, fake } = webPage();

  /** The page with an ear at its loudspeaker. */
  async function listening(picture = fakePicture([])): Promise<Page> {
    fake().setAlarms(picture);
    const page = await open(two);
    await page.addInitScript(() => {
      const heard: number[] = [];
      Object.assign(window, { tones: heard });
      const start = OscillatorNode.prototype.start;
      OscillatorNode.prototype.start = function (when?: number) {
        heard.push(this.frequency.value);
        start.call(this, when);
      };
    });
    await page.reload();
    await page.locator('.watch-state').waitFor();
    return page;
  }

  it('is off, in words, until somebody starts watching; then one pulse says that it works', async () => {
    const page = await listening(fakePicture([fakeAlarm(1)]));
    expect(await shownText(page.locator('.watch-state'))).toBe('SOUND OFF');
    expect(await tones(page)).toEqual([]);
    await button(page, 'Start watching').click();
    await page.locator('.watch-state', { hasText: 'WATCHING' }).waitFor();
    // The alarm of before is on the screen and makes no sound.
    expect(await tones(page)).toEqual([MEDIUM]);
    fake().setAlarms(fakePicture([fakeAlarm(1), fakeAlarm(2, { rig: 'rig-3' })]));
    await waitUntil(async () => (await tones(page)).length === 4, 'three pulses');
    await button(page, 'Stop').click();
    expect(await shownText(page.locator('.watch-state'))).toBe('SOUND OFF');
  });

  it('is five pulses for HIGH, at once, and a mute is timed and seen', async () => {
    const page = await listening();
    await button(page, 'Start watching').click();
    await page.locator('.watch-state', { hasText: 'WATCHING' }).waitFor();
    fake().setAlarms(fakePicture([fakeNoData(1)]));
    await waitUntil(async () => (await tones(page)).filter(hz => hz === HIGH).length === 5, 'five pulses');
    await button(page, 'Mute 2 min').click();
    await page.locator('.watch-state', { hasText: /MUTED (2:00|1:5\d)/ }).waitFor();
    await page.locator('.watch-state', { hasText: /MUTED 1:5[0-8]/ }).waitFor();
    await button(page, 'Sound on').click();
    await page.locator('.watch-state', { hasText: 'WATCHING' }).waitFor();
  });

  it('is silent after a reload, however many alarms there are, and says so', async () => {
    const many = fakePicture([fakeNoData(1), fakeAlarm(2), fakeAlarm(3, { rig: 'rig-3' })]);
    const page = await listening(many);
    await button(page, 'Start watching').click();
    await waitUntil(async () => (await tones(page)).length === 6, 'one pulse, then the five of HIGH');
    await page.reload();
    await page.locator('.strip-alarm').waitFor();
    expect(await shownText(page.locator('.watch-state'))).toBe('SOUND OFF');
    expect(await tones(page)).toEqual([]);
  });

  it('says an announced alarm to a screen reader, and none of those before the page was opened', async () => {
    const page = await listening(fakePicture([fakeAlarm(1)]));
    const said = page.locator('[role="status"].sr-only');
    await page.locator('.tile .status', { hasText: 'ARC ON' }).first().waitFor();
    expect(await said.textContent()).not.toContain('alarm');
    fake().setAlarms(fakePicture([fakeNoData(2), fakeAlarm(1)]));
    await page
      .locator('[role="status"]', {
        hasText: 'HIGH alarm: NO DATA, ARC WAS ON, J-0412, side A, fill 2, 8:00 o’clock, rig-3',
      })
      .waitFor();
  });
});
