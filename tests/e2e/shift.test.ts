/** The page of one shift: read, picked, taken along and printed. Invented shifts; figures by hand beside each check. */
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { openShift } from '../support/shift-pages.ts';
import { hasSidewaysScroll, shownText, shownTexts, webPage } from '../support/web-page.ts';

const PAPERS = ['A4', 'Letter'] as const;

async function printedPages(page: Page, format: (typeof PAPERS)[number]): Promise<number> {
  const pdf = (await page.pdf({ format, preferCSSPageSize: false })).toString('latin1');
  return [...pdf.matchAll(/\/Type\s*\/Page\b(?!s)/g)].length;
}

describe.skipIf(noChromium())('one shift', () => {
  const { open } = webPage();

  it('shows joints, arc time, wire, what is left on a spool, and a dash with its reason for what is not known', async () => {
    const { page } = await openShift(open);
    const totals = await shownText(page.locator('.shift-totals'));
    // Two layers by four rigs on twelve joints; the last three lack both sides of the second.
    expect(totals).toMatch(/Joints welded on\s+12/);
    expect(totals).toMatch(/Complete\s+9/);
    expect(totals).toMatch(/Incomplete\s+3/);
    // 42 passes of 115 s are 4830 s; of 19.7 m 827 m; of 0.1215 kg 5.10 kg; of 28.75 L 1208 L.
    expect(totals).toMatch(/Arc time\s+1:20:30/);
    expect(totals).toContain('827 m, 5.10 kg');
    expect(totals).toContain('1208 L');
    // 5.103 kg × 0.96 in 4830 s: 3.65 kg/h.
    expect(totals).toContain('3.65 kg/h');
    const first = page.locator('.shift-rigs tbody tr').first();
    // Twelve passes of 115 s, from the first at 08:00 to the end of the last at 08:57: 1380 of 3420 s.
    expect(await shownText(first)).toMatch(/23:00 of 57:00/);
    expect(await shownText(first)).toContain('40.4 %');
    // 15 kg less 12 × 0.1215 kg.
    expect(await shownText(first)).toContain('13.5');
    const second = page.locator('.shift-rigs tbody tr').nth(1);
    expect(await shownText(second.locator('[data-label="On spool kg"]'))).toBe('– – (2)');
    const notes = await shownTexts(page.locator('.shift-notes li'));
    expect(notes[0]).toContain('not checked: travel, wire feed');
    expect(notes).toContain('no change of spool is entered');
    expect(await shownTexts(page.locator('.shift-words').first().locator('li'))).toEqual([
      'J-0010\nlacks pass 2 A and B',
      'J-0011\nlacks pass 2 A and B',
      'J-0012\nlacks pass 2 A and B',
    ]);
    expect(await shownText(page.locator('.shift-words').last())).toContain(
      '08:20 rig-01: stop, rain, tents moved up the line, by A. Example',
    );
  });

  it('says its zone, that it is monitoring only, and marks what is not real', async () => {
    const { page } = await openShift(open);
    expect(await shownText(page.locator('.shift-span'))).toContain(
      'All times here are UTC, the time zone of the job.',
    );
    await page.getByText('Monitoring only: no deviation is not acceptance.').waitFor();
    await page.getByText('SIMULATED: nothing of this was welded.').waitFor();
    const real = await openShift(open, { shift: { origin: 'real' } });
    expect(await real.page.locator('.shift-mark').count()).toBe(0);
  });

  it('is picked by day, from the keyboard too, and the address says which it is', async () => {
    const { page } = await openShift(open);
    await page.getByRole('link', { name: 'Day after' }).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Shift of 2026-05-13' }).waitFor();
    expect(page.url()).toContain('#/shift?date=2026-05-13');
    await page.getByText('No joint was welded on in this shift.').waitFor();
    expect(await shownText(page.locator('.shift-totals'))).toMatch(/Arc time\s+– –/);
    await page.getByLabel('Shift that began on').fill('2026-05-12');
    await page.getByRole('heading', { name: 'Shift of 2026-05-12' }).waitFor();
  });

  it('goes along as CSV and JSON of the shift that is shown', async () => {
    const { page } = await openShift(open);
    const hrefs = await page
      .locator('.shift-controls a[download]')
      .evaluateAll(all => all.map(one => one.getAttribute('href')));
    expect(hrefs).toEqual([
      '/api/v1/shift.csv?date=2026-05-12&origin=simulated',
      '/api/v1/shift.csv?date=2026-05-12&origin=simulated&table=joints',
      '/api/v1/shift?date=2026-05-12&origin=simulated',
    ]);
  });

  it.each([
    ['all complete', 0],
    ['all incomplete', 40],
  ])(
    'a day of 40 joints on 16 rigs, %s, is printed on one page of A4 and of Letter',
    async (_, incomplete) => {
      const { page } = await openShift(open, { shift: { rigs: 16, joints: 40, incomplete }, stops: 12 });
      for (const paper of PAPERS) expect(await printedPages(page, paper)).toBe(1);
      await page.emulateMedia({ media: 'print' });
      const printed = await shownText(page.locator('main'));
      expect(printed).toContain('Monitoring only: no deviation is not acceptance.');
      expect(printed).toContain('SIMULATED: nothing of this was welded.');
      expect(printed).toContain('J-0040');
      expect(printed).not.toContain('Print this page');
      expect(await page.locator('.foot').isVisible()).toBe(false);
    },
  );

  it('longer lists are cut on paper and say how many more there are; the screen has all', async () => {
    const shift = { rigs: 20, joints: 170, incomplete: 50 };
    const { page } = await openShift(open, { shift, stops: 40, theme: 'night' });
    expect(await page.locator('.shift-words').first().locator('li:visible').count()).toBe(50);
    for (const paper of PAPERS) expect(await printedPages(page, paper)).toBe(1);
    await page.emulateMedia({ media: 'print' });
    expect(await page.locator('.shift-rigs tbody tr:visible').count()).toBe(16);
    const cut = page.locator('.shift-words, .shift-numbers');
    // Incomplete and complete joints, stops with the one change of spool.
    const all = [50, 120, 41];
    for (const [i, list] of (await cut.all()).entries()) {
      const lines = await shownTexts(list.locator('li:visible'));
      expect(lines.length).toBeGreaterThan(1);
      expect(lines.at(-1)).toBe(`and ${all[i]! - (lines.length - 1)} more`);
    }
    expect(await cut.count()).toBe(3);
  });

  it.each([
    ['phone', { width: 320, height: 640 }, 'day'],
    ['phone', { width: 390, height: 844 }, 'night'],
    ['tablet', { width: 820, height: 1180 }, 'day'],
    ['truck screen', { width: 1920, height: 1080 }, 'night'],
  ] as const)(
    'on a %s of %o by %s nothing is cut off, targets are for hands, and nothing is against WCAG 2.2 AA',
    async (_, size, theme) => {
      const { page } = await openShift(open, { ...size, theme });
      expect(await hasSidewaysScroll(page)).toBe(false);
      const small = await page
        .locator('.screens a, .shift a, .shift button, .shift input, .shift select')
        .evaluateAll(all =>
          all
            .filter(one => {
              const { width, height } = one.getBoundingClientRect();
              return width > 0 && (width < 48 || height < 48);
            })
            .map(one => one.outerHTML),
        );
      expect(small).toEqual([]);
      expect(await axeViolations(page)).toEqual([]);
    },
  );
});
