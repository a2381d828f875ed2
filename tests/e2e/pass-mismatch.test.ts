import { describe, expect, it } from 'vitest';
import type { PassMismatch } from '#core/messages/live';
import { noChromium } from '../support/browser.ts';
import { type RigFixture, TRAVEL_OUT } from '../support/dashboard-fixtures.ts';
import { hasSidewaysScroll, shownText, webPage } from '../support/web-page.ts';

const LOOKS_LIKE_HOT: PassMismatch = {
  assigned: 'fill 2',
  likelier: ['hot'],
  wireFeedMmS: 191,
  travelMmS: 17.4,
  program: 2,
  sinceUs: 1,
  travelledMm: 25.9,
  text: 'Looks like hot, not fill 2: feed 11.5 m/min, travel 17.4 mm/s, program 2.',
};
const rigs: readonly RigFixture[] = [
  { rig: 'rig-3', place: 0, alongMm: 400 },
  { rig: 'rig-4', place: 1, alongMm: 430, live: { passMismatch: LOOKS_LIKE_HOT }, outOfRange: [TRAVEL_OUT] },
];

describe.skipIf(noChromium())('a pass that looks like another', () => {
  const { open } = webPage();

  it.each([1280, 390])('is said on its tile, and only there, at %i px', async width => {
    const page = await open(rigs, { width, height: 900 });
    const side = page.locator('.tile[data-key="spread-1/rig-4"] .message');
    await side.filter({ hasText: 'CHECK THE PASS' }).waitFor();
    expect(await shownText(side)).toMatch(
      /CHECK THE PASS Looks like hot, not fill 2: feed 11\.5 m\/min, travel 17\.4 mm\/s, program 2\. 1 value out of range\./,
    );
    expect(await shownText(page.locator('.tile[data-key="spread-1/rig-3"]'))).not.toContain('CHECK THE PASS');
    expect(await hasSidewaysScroll(page)).toBe(false);
    if (process.env['SHOT_DIR'])
      await page.screenshot({ path: `${process.env['SHOT_DIR']}/mismatch-${width}.png` });
  });
});
