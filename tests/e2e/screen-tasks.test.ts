import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { type RigFixture, sixteenSides, TRAVEL_OUT } from '../support/dashboard-fixtures.ts';
import { waitUntil } from '../support/wait-until.ts';
import { hasSidewaysScroll, type OpenOptions, shownText, webPage } from '../support/web-page.ts';

const two: readonly RigFixture[] = [
  { rig: 'rig-3', place: 0, alongMm: 400 },
  { rig: 'rig-4', place: 1, alongMm: 430, outOfRange: [TRAVEL_OUT], values: { travelSpeed: 9.6 } },
];
const TRENDS = '#/trends/spread-1/rig-4?span=60';
const ASSIGN = '#/assign/spread-1/rig-4';

describe.skipIf(noChromium())('every screen', () => {
  const { open, fake } = webPage();

  const screens: readonly (readonly [string, readonly RigFixture[], OpenOptions, string])[] = [
    ['live', two, {}, '.message.out'],
    ['live, phone', two, { width: 320, height: 640 }, '.message.out'],
    ['sixteen sides', sixteenSides(), { width: 1920, height: 1080 }, '.message.out'],
    ['first', [], {}, 'main ol'],
    ['trends', two, { hash: TRENDS }, '.trend canvas'],
    ['assign', two, { hash: ASSIGN }, '.pick'],
    ['cautions', two, { hash: '#/about' }, 'main ul'],
  ];
  for (const theme of ['day', 'night'] as const) {
    it.each(screens)(`has nothing for axe to say: %s, ${theme}`, async (_, rigs, options, ready) => {
      const page = await open(rigs, { ...options, theme, reducedMotion: true });
      await page.locator(ready).first().waitFor();
      if (rigs === two) {
        fake().silence(['rig-3']);
        await page
          .locator('.chip, .tile', { hasText: 'NO DATA' })
          .or(page.locator('main .sheet'))
          .first()
          .waitFor();
      }
      expect(await axeViolations(page)).toEqual([]);
    });
  }

  it.each([TRENDS, ASSIGN, '#/about'])('reflows at 320 px: %s', async hash => {
    const page = await open(two, { width: 320, height: 640, hash });
    await page.locator('h1').waitFor();
    expect(await hasSidewaysScroll(page)).toBe(false);
  });

  it.each([
    [false, 48, 8],
    [true, 96, 24],
  ])('has targets for hands (gloves %s: at least %d px)', async (gloves, size) => {
    for (const hash of ['#/', TRENDS, ASSIGN]) {
      const page = await open(two, { width: 390, height: 800, gloves, hash });
      await page.locator('button').first().waitFor();
      const small = await page
        .locator(
          'button:visible:not(.skip), a.button, .tile-action, .chip, select, input[type="text"], .pick',
        )
        .evaluateAll(
          (all, least) =>
            all
              .filter(one => one.getBoundingClientRect().height < least)
              .map(one => one.outerHTML.slice(0, 80)),
          size,
        );
      expect(small).toEqual([]);
    }
  });

  it('can be walked with the keyboard alone: live, trends, another span, back', async () => {
    const page = await open(two);
    await page.locator('.tile').first().waitFor();
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement?.className)).toBe('skip');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement?.textContent)).toContain('SIDE A');
    await page.keyboard.press('Enter');
    await page.locator('h1', { hasText: 'Trends: SIDE A, rig-3' }).waitFor();
    await page.getByRole('link', { name: '300 s' }).focus();
    await page.keyboard.press('Enter');
    await waitUntil(() => page.url().endsWith('span=300'), 'the span in the address');
    await page.getByRole('link', { name: 'Back to the live view' }).focus();
    await page.keyboard.press('Enter');
    await page.locator('.board').waitFor();
  });

  it('draws trends with words and a table beside them', async () => {
    const page = await open(two, { hash: TRENDS, width: 1920, height: 1080 });
    // Each chart sums itself up in its own frame: wait for the one read below, and for the last.
    await page.locator('.trend:nth-child(4) canvas[aria-label*="between"]').waitFor();
    await page.locator('.trend:nth-child(6) canvas[aria-label*="between"]').waitFor();
    const labels = await page
      .locator('.trend canvas')
      .evaluateAll(all => all.map(one => one.getAttribute('aria-label')));
    expect(labels).toHaveLength(6);
    expect(labels[3]).toMatch(/^travel, last 60 s\. Now .* mm\/s; between .* limits 5\.0 to 9\.0 mm\/s\.$/);
    expect(await shownText(page.locator('.trends-side table').first())).toContain('window of weld length');
    expect(await shownText(page.locator('.flag-list'))).toMatch(
      /hot, side B, 4:00 to 4:16 o’clock: travel, 42 mm/,
    );
    const painted = await page
      .locator('.trend canvas')
      .first()
      .evaluate(canvas => {
        const one = canvas as HTMLCanvasElement;
        const data = one.getContext('2d')?.getImageData(0, 0, one.width, one.height).data ?? [];
        return data.some(value => value > 0);
      });
    expect(painted).toBe(true);
  });

  it('remembers day and night on this screen', async () => {
    const page = await open(two);
    await page.getByRole('button', { name: 'Night' }).click();
    expect(await page.locator('html').getAttribute('data-theme')).toBe('night');
    expect(await page.evaluate(() => localStorage.getItem('girthlog.theme'))).toBe('night');
    const luminance = await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
    expect(luminance).toBe('rgb(16, 18, 19)');
  });
});
