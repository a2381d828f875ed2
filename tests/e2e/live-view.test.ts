import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { noChromium } from '../support/browser.ts';
import { type RigFixture, sixteenSides, TRAVEL_OUT } from '../support/dashboard-fixtures.ts';
import { hasSidewaysScroll, shownText, shownTexts, webPage } from '../support/web-page.ts';

const two: readonly RigFixture[] = [
  { rig: 'rig-3', place: 0, alongMm: 400 },
  { rig: 'rig-4', place: 1, alongMm: 430 },
];
const withOut: readonly RigFixture[] = [
  two[0]!,
  { ...two[1]!, outOfRange: [TRAVEL_OUT], values: { travelSpeed: 9.6 } },
];

const tile = (page: Page, rig: string) => page.locator(`.tile[data-key="spread-1/${rig}"]`);
const textOf = (page: Page, selector: string) => shownText(page.locator(selector));

describe.skipIf(noChromium())('the live view', () => {
  const { open, fake } = webPage();

  it('shows both sides of a joint, values, the pass so far and where the energy comes from', async () => {
    const page = await open(two);
    await tile(page, 'rig-3').locator('.status', { hasText: 'ARC ON' }).waitFor();
    const side = await shownText(tile(page, 'rig-3'));
    for (const words of [
      'SIDE A',
      'J-0412',
      'fill 2',
      'm/min',
      'mm/s',
      'from instantaneous power',
      'standing arc',
    ]) {
      expect(side).toContain(words);
    }
    expect(await shownText(tile(page, 'rig-4'))).toContain('from mean U × mean I per frame');
    expect(await page.locator('.ring').getAttribute('aria-label')).toMatch(
      /J-0412.*Side A: fill 2, at \d+:\d\d o’clock ± 9 mm\..*Side B/,
    );
    expect(await page.title()).toMatch(/^SIMULATED/);
    expect(await textOf(page, '.trust')).toMatch(/SIMULATED[\s\S]*EXAMPLE ONLY – NOT A PROCEDURE/);
    expect(await textOf(page, '.foot')).toContain('Monitoring only: not a safety device');
  });

  it('withholds every value 2 s after data stopped, says since when, and that the arc was on', async () => {
    const page = await open(two);
    const side = tile(page, 'rig-3');
    await side.locator('.status', { hasText: 'ARC ON' }).waitFor();
    fake().silence(['rig-3']);
    await side.locator('.status', { hasText: /NO DATA \d\d:\d\d:\d\d/ }).waitFor();
    for (const number of await shownTexts(side.locator('.number, .figures dd'))) {
      expect(number).toBe('– –');
    }
    expect(await side.locator('.bar-pointer').count()).toBe(0);
    expect(await shownText(side)).toMatch(/Arc was on, last at \d+:\d\d o’clock/);
    expect(await shownText(tile(page, 'rig-4').locator('.status'))).toBe('ARC ON');
    expect(await page.locator('.ring-lost').count()).toBe(1);
    fake().silence([]);
    await side.locator('.status', { hasText: 'ARC ON' }).waitFor();
    // Unseen here is not unrecorded: bars are drawn only where the edge says it has nothing.
    expect(await page.locator('.ring-unseen').count()).toBe(0);
    fake().setRigs([{ ...two[0]!, unobservedS: 1.2 }, two[1]!]);
    await page.locator('.ring-unseen').first().waitFor();
  });

  it('is told by the source that it does not stream, at once and in its words', async () => {
    const page = await open(two);
    await tile(page, 'rig-4').locator('.status', { hasText: 'ARC ON' }).waitFor();
    const source = {
      state: 'absent',
      since: '2026-05-12T14:03:22.000Z',
      detail: 'the port is gone',
    } as const;
    fake().setRigs([two[0]!, { ...two[1]!, live: { source } }]);
    await tile(page, 'rig-4').locator('.status', { hasText: 'NO DATA' }).waitFor();
    const words = await shownText(tile(page, 'rig-4'));
    expect(words).toContain('the port is gone');
    expect(words).toContain('Not being recorded: stop, or note times by hand.');
  });

  it('shows nothing as live without the dashboard server, and comes back by itself', async () => {
    const page = await open(two);
    await tile(page, 'rig-3').locator('.status', { hasText: 'ARC ON' }).waitFor();
    fake().cut();
    await page.locator('[data-field="server"]', { hasText: /NO CONNECTION since \d\d:\d\d:\d\d/ }).waitFor();
    expect(await shownTexts(page.locator('.status'))).toEqual([
      expect.stringContaining('NO DATA'),
      expect.stringContaining('NO DATA'),
    ]);
    expect(await textOf(page, '[data-field="recording"]')).toContain('unknown');
    fake().restore();
    await tile(page, 'rig-3').locator('.status', { hasText: 'ARC ON' }).waitFor();
    // It asked to go on after the last event it had.
    expect(Number(fake().lastEventIds.at(-1))).toBeGreaterThan(0);
  });

  it('flags out of range by word, mark and sentence, and numbers it on the ring', async () => {
    const page = await open(withOut);
    const side = tile(page, 'rig-4');
    await side.locator('.message.out').waitFor();
    expect(await shownText(side.locator('.message.out'))).toMatch(
      /OUT OF RANGE travel 9\.6, limit 9\.0 mm\/s, since \d+:\d\d o’clock, 35 mm\./,
    );
    expect(await shownText(side.locator('.value-row.out .number'))).toBe('9.6');
    expect(await page.locator('.ring-flag.live').count()).toBe(1);
    // Said aloud to a screen reader as well.
    await page.locator('[role="status"]', { hasText: 'rig-4, side B: OUT OF RANGE travel' }).waitFor();
  });

  it('keeps sixteen sides in their places and on one truck screen', async () => {
    const page = await open(sixteenSides(), { width: 1920, height: 1080 });
    await page.locator('.tile').nth(15).waitFor();
    const keys = await page
      .locator('.tile')
      .evaluateAll(tiles => tiles.map(one => (one as HTMLElement).dataset['key']));
    expect(keys).toEqual(Array.from({ length: 16 }, (_, i) => `spread-1/rig-${i + 1}`));
    const outside = await page
      .locator('.tile')
      .evaluateAll(
        tiles => tiles.filter(one => one.getBoundingClientRect().bottom > window.innerHeight).length,
      );
    expect(outside).toBe(0);
    expect(await page.evaluate(() => document.documentElement.scrollHeight <= window.innerHeight)).toBe(true);
    await page.locator('.message.out').waitFor();
    // Nothing is cut off inside a tile.
    const clipped = await page.locator('.tile').evaluateAll(tiles =>
      tiles.flatMap(one => {
        const box = one.getBoundingClientRect();
        const last = [...one.children].at(-2)?.getBoundingClientRect();
        return last !== undefined && last.bottom > box.bottom + 1
          ? [(one as HTMLElement).dataset['key']]
          : [];
      }),
    );
    expect(clipped).toEqual([]);
  });

  it.each([320, 390, 820, 920, 1024, 1100])('reflows at %d px without sideways scroll', async width => {
    const page = await open(withOut, { width, height: 700 });
    await page.locator('.message.out').waitFor();
    expect(await hasSidewaysScroll(page)).toBe(false);
    const bars = await page
      .locator('.bar')
      .evaluateAll(all => all.map(one => one.getBoundingClientRect().width));
    expect(Math.min(...bars)).toBeGreaterThan(80);
  });

  it.each(['en', 'es'] as const)(
    'has the values of the trends whole on a phone, limits under them (%s)',
    async language => {
      const page = await open(withOut, {
        width: 320,
        height: 640,
        language,
        hash: '#/trends/spread-1/rig-4',
      });
      const table = page.locator('.values-table');
      await table.locator('td').first().waitFor();
      expect(await table.evaluate(one => one.scrollWidth <= one.parentElement!.clientWidth)).toBe(true);
      const cells = table.locator('tbody tr').first().locator('td');
      const [now, limits] = [await cells.first().boundingBox(), await cells.last().boundingBox()];
      expect(limits!.y).toBeGreaterThanOrEqual(now!.y + now!.height);
    },
  );

  it('shows text from outside as text', async () => {
    const joint = '<img src=x onerror="document.title=1"><b>J</b>\u202E';
    const page = await open([{ rig: 'rig-3', place: 0, joint, pass: '<script>1</script>' }], { width: 390 });
    await page.locator('.tile').waitFor();
    expect(await page.locator('.tile-joint').textContent()).toBe(joint);
    expect(await page.locator('main img, main script, main b').count()).toBe(0);
    expect(await hasSidewaysScroll(page)).toBe(false);
  });

  it('says what to do while no rig has reported', async () => {
    const page = await open([]);
    await page.getByRole('heading', { name: 'No rig has reported yet' }).waitFor();
    expect(await textOf(page, 'main')).toContain('Start an edge');
  });

  it('says of each tile whose data it is when origins are mixed', async () => {
    const page = await open([{ ...two[0]!, origin: 'real' }, two[1]!]);
    await page.locator('.origin', { hasText: 'MIXED: 1 REAL, 1 SIMULATED' }).waitFor();
    expect(await shownTexts(page.locator('.tile-origin'))).toEqual(['REAL', 'SIMULATED']);
  });
});
