import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import type { RigFixture } from '../support/dashboard-fixtures.ts';
import { waitUntil } from '../support/wait-until.ts';
import { hasSidewaysScroll, shownText, webPage } from '../support/web-page.ts';

const RIGS: readonly RigFixture[] = [{ rig: 'rig-3', place: 0, alongMm: 400 }];
const FULL = {
  cause: 'storeFull',
  priority: 'high',
  since: '2026-05-12T08:00:00.000Z',
  text: "The truck's disk is full: nothing new is stored here. The edges keep what they record.",
  action: 'Free space on the truck.',
};
const SPACE = {
  ...FULL,
  cause: 'diskSpace',
  priority: 'medium',
  text: 'The disk has 12 % free.',
  action: 'Make a backup.',
};

describe.skipIf(noChromium())('what is wrong at the truck', () => {
  const { open, fake } = webPage();

  for (const theme of ['day', 'night'] as const) {
    it(`stands on every screen with what to do, in words, until it ends: ${theme}`, async () => {
      const page = await open(RIGS, { width: 320, height: 640, theme, reducedMotion: true });
      await page.locator('main').waitFor();
      await page.locator('.trust-field[data-field="server"][data-level="ok"]').waitFor();
      expect(await page.locator('.truck').count()).toBe(0);
      fake().send('truck', { conditions: [FULL, SPACE] });
      const first = page.locator('.truck li').first();
      await first.waitFor();
      expect(await shownText(first)).toContain(`ACT NOW ${FULL.text} ${FULL.action}`);
      expect(await page.locator('.truck li').count()).toBe(2);
      expect(await axeViolations(page)).toEqual([]);
      expect(await hasSidewaysScroll(page)).toBe(false);
      await page.evaluate(() => {
        window.location.hash = '#/about';
      });
      await page.locator('main .sheet').waitFor();
      expect(await page.locator('.truck li').count()).toBe(2);
      fake().send('truck', { conditions: [] });
      await waitUntil(async () => (await page.locator('.truck').count()) === 0, 'the conditions to go');
    });
  }

  it('is not shown of a truck that is not heard', async () => {
    const page = await open(RIGS);
    await page.locator('.trust-field[data-field="server"][data-level="ok"]').waitFor();
    fake().send('truck', { conditions: [FULL] });
    await page.locator('.truck li').waitFor();
    fake().cut();
    await waitUntil(async () => (await page.locator('.truck').count()) === 0, 'the conditions to go');
  });

  it('the room at the truck stands on the page of cautions, in days', async () => {
    const page = await open(RIGS);
    const store = {
      name: 'truck',
      records: 86_400,
      bytes: 2_345_000_000,
      room: {
        bytes: 2_345_000_000,
        logBytes: 0,
        freeBytes: 400e9,
        totalBytes: 500e9,
        bytesPerDay: 1e9,
        daysLeft: 399.9,
      },
    };
    await page.route('**/api/v1/system', route => route.fulfill({ json: { store } }));
    await page.evaluate(() => {
      window.location.hash = '#/about';
    });
    const list = page.locator('main h2', { hasText: 'Room at the truck' }).locator('+ ul');
    await list.waitFor();
    expect(await shownText(list)).toBe(
      'The store holds 86400 records in 2.35 GB.\n400.0 GB free (80 %).\nEnough for 399 days at the pace of the busiest of the last seven days.',
    );
  });
});
