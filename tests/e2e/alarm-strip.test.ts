/** The first alarm over every view: its words have room in both languages at every width (not letter under letter). */
import { describe, expect, it } from 'vitest';
import { noChromium } from '../support/browser.ts';
import type { RigFixture } from '../support/dashboard-fixtures.ts';
import { fakeAlarm, fakeNoData, fakePicture } from '../support/fake-alarms.ts';
import { hasSidewaysScroll, shownText, webPage } from '../support/web-page.ts';

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

  it.each([
    [820, 1180, 'en'],
    [1500, 900, 'en'],
    [1500, 900, 'es'],
    [1920, 1080, 'en'],
    [1920, 1080, 'es'],
  ] as const)(
    'shows all its words in at most three lines at %i × %i (%s)',
    async (width, height, language) => {
      fake().setAlarms(fakePicture([fakeAlarm(4)]));
      const page = await open(two, { width, height, language });
      const words = page.locator('.strip-what');
      await words.waitFor();
      const { lines, isCut } = await words.evaluate(one => ({
        lines: one.getBoundingClientRect().height / Number.parseFloat(getComputedStyle(one).lineHeight),
        isCut: one.scrollHeight > one.clientHeight + 1 || one.scrollWidth > one.clientWidth + 1,
      }));
      expect(Math.round(lines)).toBeLessThanOrEqual(3);
      expect(isCut).toBe(false);
    },
  );

  it.each(['en', 'es'] as const)(
    'leaves half of a phone to the weld, with an alarm and the note about the time zone (%s)',
    async language => {
      fake().setAlarms(fakePicture([fakeAlarm(3), fakeNoData(4)]));
      const page = await open(two, {
        width: 360,
        height: 780,
        language,
        prepare: async of => {
          await of.route('**/api/v1/system', route =>
            route.fulfill({ json: { timeZone: 'America/Mexico_City' } }),
          );
        },
      });
      await page.locator('.zone-note').waitFor();
      await page.locator('.strip-what').waitFor();
      const top = async () => (await page.locator('main').boundingBox())!.y / 780;
      // Our own choice: three fifths while there is something to read once, half otherwise.
      expect(await top()).toBeLessThan(0.6);
      await page.locator('.zone-note').getByRole('button').click();
      expect(await top()).toBeLessThan(0.5);
      // The other screens are behind one button, and closed again by whatever leads there.
      const links = page.locator('.screens a:visible');
      expect(await links.count()).toBe(1);
      await page.locator('.screens-more').click();
      await links.nth(4).click();
      await page.locator('.screens-more[aria-expanded="false"]').waitFor();
      expect(await shownText(page.locator('.screens'))).toContain(language === 'en' ? 'Changes' : 'Cambios');
      expect(await links.count()).toBe(1);
    },
  );
});
