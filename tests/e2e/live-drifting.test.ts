import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import type { Drifting } from '#core/messages/drift';
import type { RigEvent } from '#core/messages/event';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { type RigFixture, START_UTC_MS, TRAVEL_OUT } from '../support/dashboard-fixtures.ts';
import { hasSidewaysScroll, shownText, webPage } from '../support/web-page.ts';

const VOLTAGE: Drifting = {
  number: 1,
  rule: 'drifting',
  quantity: 'arcVoltage',
  unit: 'V',
  direction: 'high',
  sinceUs: 1e9,
  sincePositionMm: 330,
  change: 1.2,
  changeSigma: 3.4,
  crossingInMm: null,
  text: 'Arc voltage 1.20 V above this rig’s good welds (3.4 σ), since 330 mm.',
  looksLike: [
    {
      cause: 'longer tip distance',
      text: 'Voltage rose while the current fell at the same feed.',
      speaksFor: ['current −6 A, as far as the distance asks for'],
      speaksAgainst: ['it did not begin at a start'],
    },
  ],
};
const driftingRig = (more: readonly Drifting[] = []): RigFixture => ({
  rig: 'rig-3',
  place: 0,
  alongMm: 400,
  live: { drifting: [VOLTAGE, ...more] },
});
const other: RigFixture = { rig: 'rig-4', place: 1, alongMm: 430 };
const tile = (page: Page) => page.locator('.tile[data-key="spread-1/rig-3"]');

const TRIM: RigEvent = {
  origin: 'simulated',
  id: 's:9',
  type: 'trim',
  tUs: 1e9,
  at: new Date(START_UTC_MS).toISOString(),
  passIndex: 3,
  text: 'Travel speed trimmed from 7.50 mm/s to 7.95 mm/s at 210 mm, 4:10 o’clock.',
  data: { quantity: 'travelSpeed', baseline: 7.5, change: 0.45, fromClock: 4.1667 },
};

describe.skipIf(noChromium())('changes along the weld', () => {
  const { open, fake } = webPage();

  it('drifting is a word, a slope, a size and a place, and what it looks like is no verdict', async () => {
    const page = await open([driftingRig(), other]);
    await tile(page).locator('.message.drift').waitFor();
    expect(await shownText(tile(page).locator('.message.drift'))).toMatch(
      /^ ?DRIFTING voltage \+1\.2 V, since 9:56 o’clock, \d+ mm; looks like longer tip distance, not a verdict\.$/,
    );
    expect(await tile(page).getAttribute('data-state')).toBe('drift');
    // The slope stands at its quantity as well; sky blue lies under black.
    expect(await tile(page).locator('dt .slope').count()).toBe(1);
    const [ground, ink] = await tile(page)
      .locator('.message.drift')
      .evaluate(one => [getComputedStyle(one).backgroundColor, getComputedStyle(one).color]);
    expect([ground, ink]).toEqual(['rgb(86, 180, 233)', 'rgb(0, 0, 0)']);
  });

  it('out of range comes before drifting, which is named with it', async () => {
    const rig = { ...driftingRig(), outOfRange: [TRAVEL_OUT], values: { travelSpeed: 9.6 } };
    const page = await open([rig, other]);
    await tile(page).locator('.message.out').waitFor();
    expect(await shownText(tile(page).locator('.message.out'))).toContain(
      'One change along the weld as well.',
    );
    expect(await tile(page).getAttribute('data-state')).toBe('out');
  });

  it('what speaks for and against it is one tap away', async () => {
    const ahead: Drifting = {
      ...VOLTAGE,
      number: 2,
      rule: 'projected',
      quantity: 'wireFeedSpeed',
      direction: 'low',
      change: -5,
      crossingInMm: 140,
      looksLike: [],
    };
    const page = await open([driftingRig([ahead]), other]);
    await tile(page).locator('h2 a').click();
    const panel = page.locator('.drift-panel');
    await panel.waitFor();
    const words = await shownText(panel);
    expect(words).toContain('looks like longer tip distance, not a verdict');
    expect(words).toContain('Speaks for it: current −6 A, as far as the distance asks for.');
    expect(words).toContain('Speaks against it: it did not begin at a start.');
    expect(words).toMatch(/ON ITS WAY TO A LIMIT wire feed −0\.3 m\/min, .*limit in 140 mm\./);
    expect(words).toContain('Nothing in the catalogue fits it.');
    expect(await shownText(page.locator('.chip[aria-current="page"]'))).toContain('DRIFTING');
    expect(await axeViolations(page)).toEqual([]);
  });

  it('a trim is a small mark of the running pass, not a message', async () => {
    const page = await open([{ ...driftingRig(), live: {} }, other]);
    await tile(page).locator('.status', { hasText: 'ARC ON' }).waitFor();
    fake().send('event', { site: 'spread-1', rig: 'rig-3', event: TRIM });
    // Of an earlier pass: told then, and over.
    fake().send('event', { site: 'spread-1', rig: 'rig-4', event: { ...TRIM, id: 's:8', passIndex: 2 } });
    await tile(page).locator('.trim').waitFor();
    expect(await shownText(tile(page).locator('.trim'))).toBe('trim: travel +6 % at 4:10');
    expect(await tile(page).getAttribute('data-state')).toBe('normal');
    expect(await page.locator('.trim').count()).toBe(1);
  });

  it.each([
    [1080, 1],
    [900, 1],
    [1080, 2],
    [1080, 4],
    // Who is signed in takes a second row of the foot.
    [1024, 4],
  ])(
    'with all that can be said of a side at once, nothing covers a value at 1920 by %d, %d joints',
    async (height, joints) => {
      const rig: RigFixture = {
        ...driftingRig([{ ...VOLTAGE, number: 2, quantity: 'weldingCurrent', unit: 'A', change: -8 }]),
        outOfRange: [TRAVEL_OUT],
        values: { travelSpeed: 9.6 },
      };
      const lacks = {
        code: 'checkMissing',
        text: 'The travel check is missing.',
        action: 'Do it.',
        link: null,
      };
      const lacking = {
        serverUtc: new Date(START_UTC_MS).toISOString(),
        readiness: Array.from({ length: 2 * joints }, (_, i) => `rig-${i + 3}`).map(name => ({
          ...{ site: 'spread-1', rig: name, ready: false, checks: [], corrections: [], carriageId: null },
          findings: [lacks],
        })),
      };
      const more = Array.from({ length: 2 * (joints - 1) }, (_, i): RigFixture => {
        const place = i + 2;
        return { ...rig, rig: `rig-${place + 3}`, place, joint: `J-05${Math.floor(place / 2)}` };
      });
      const page = await open([rig, other, ...more], {
        width: 1920,
        height,
        prepare: async shown => {
          await shown.route('**/api/v1/readiness', route => route.fulfill({ json: lacking }));
        },
      });
      await page.getByText('NOT READY').first().waitFor();
      await page.locator('.message.out').first().waitFor();
      for (const one of await page.locator('.tile').all()) {
        const bars = await one.locator('.value-row').last().boundingBox();
        const figures = await one.locator('.figures').boundingBox();
        expect(bars!.y + bars!.height).toBeLessThanOrEqual(figures!.y + 1);
      }
    },
  );

  it.each([
    ['day', 320],
    ['night', 390],
    ['day', 1920],
  ] as const)('reads in the %s theme at %d px', async (theme, width) => {
    const page = await open([driftingRig(), other], { theme, width, height: 1080, reducedMotion: true });
    await tile(page).locator('.message.drift').waitFor();
    expect(await axeViolations(page)).toEqual([]);
    expect(await hasSidewaysScroll(page)).toBe(false);
  });
});
