/** The first alarm over every view: its words have room in both languages at every width (not letter under letter). */
import { describe, expect, it } from 'vitest';
import { noChromium } from '../support/browser.ts';
import type { RigFixture } from '../support/dashboard-fixtures.ts';
import { fakeAlarm, fakeNoData, fakePicture } from '../support/fake-alarms.ts';
import { hasSidewaysScroll, webPage } from '../support/web-page.ts';

const two: readonly RigFixture[] = [
  { rig: 'rig-3', place: 0, alongMm: 400 },
  { rig: 'rig-4', place: 1, alongMm: 430 },
];

describe.skipIf(noChromium())('the strip of the first alarm', () => {
  const { open, fake } = webPage();

  it.each([
    [320, 640],
    [640, 900],
    [820, 1180],
    [1024, 768],
    [1500, 820],
    [1920, 1080],
  ])('keeps room for its words at %i × %i, in Spanish', async (width, height) => {
    fake().setAlarms(fakePicture([fakeNoData(4), fakeAlarm(3)]));
    const page = await open(two, { width, height, language: 'es' });
    const words = page.locator('.strip-what');
    await words.waitFor({ state: 'attached' });
    const { width: wide } = (await words.boundingBox())!;
    // About a dozen letters: the shortest line a person reads as words (our own choice).
    expect(wide).toBeGreaterThan(100);
    expect(await hasSidewaysScroll(page)).toBe(false);
  });
});
