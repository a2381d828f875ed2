import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { sixteenSides } from '../support/dashboard-fixtures.ts';
import { hasSidewaysScroll, shownText, webPage } from '../support/web-page.ts';

describe.skipIf(noChromium())('a screen that cannot keep up', () => {
  const { fake, open } = webPage();

  it.each([
    [320, 640, 'day'],
    [1920, 1080, 'night'],
  ] as const)(
    'says so in one calm line, %i × %i, %s, and no more when it keeps up',
    async (width, height, theme) => {
      const page = await open([{ rig: 'rig-1', place: 0 }], { width, height, theme });
      const note = page.locator('.thinned');
      await page.locator('[data-status="arcOn"]').waitFor();
      expect(await note.count()).toBe(0);
      fake().send('pace', { everyMs: 1000, sentMs: 1000 });
      await note.waitFor();
      expect(await shownText(note)).toBe(
        'This screen cannot keep up: its live values come every 1.0 s. Alarms, events and the record are complete.',
      );
      expect(await page.locator('[role="status"]:has(.thinned)').count()).toBe(1);
      expect(await shownText(page.locator('.trust-field[data-field="server"]'))).toContain('screen thinned');
      expect(await axeViolations(page)).toEqual([]);
      expect(await hasSidewaysScroll(page)).toBe(false);
      fake().send('pace', { everyMs: 100, sentMs: 2000 });
      await note.waitFor({ state: 'detached' });
    },
  );

  it('takes no room from the figures where sixteen sides fill the screen', async () => {
    const page = await open(sixteenSides(), { width: 1920, height: 1080 });
    await page.locator('.tile').nth(15).waitFor();
    fake().send('pace', { everyMs: 1000, sentMs: 1000 });
    await page.locator('.thinned').waitFor();
    const covered = await page.locator('.tile').evaluateAll(tiles =>
      tiles.flatMap(tile => {
        const boxes = [...tile.querySelectorAll('.value-row, .figures, .tile-head, .tile-work')].map(one =>
          one.getBoundingClientRect(),
        );
        const over = boxes.some((a, i) =>
          boxes.slice(i + 1).some(b => Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1),
        );
        const station = tile.closest('.station')!.getBoundingClientRect();
        return over || boxes.some(({ bottom }) => bottom > station.bottom)
          ? [tile.getAttribute('data-key')]
          : [];
      }),
    );
    expect(covered).toEqual([]);
  });

  it('begins anew when the stream runs late, asking for fewer live values, and shows nothing old meanwhile', async () => {
    const page = await open([{ rig: 'rig-1', place: 0 }]);
    await page.locator('[data-status="arcOn"]').waitFor();
    fake().send('pace', { everyMs: 100, sentMs: 100_000 });
    fake().send('pace', { everyMs: 100, sentMs: 100_000 });
    const again = page.waitForRequest(request => request.url().includes('/api/v1/stream?every_ms=300'));
    // Sent three seconds earlier than the last, by the server's clock: it was on its way for that much longer.
    fake().send('pace', { everyMs: 100, sentMs: 97_000 });
    await again;
    await page.locator('[data-status="arcOn"]').waitFor();
  });
});
