import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
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
