/** A reviewer's task on the page: an NDT call, what lies under it, another joint beside it, a finding, a ruling, the report. */
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { answer } from '../support/http-answers.ts';
import { BESIDE, FLAGGED, openReview, type ReviewPage } from '../support/review-pages.ts';
import { scanReport } from '../support/reviewed-joint.ts';
import { waitUntil } from '../support/wait-until.ts';
import { hasSidewaysScroll, openDetails, shownText, shownTexts, webPage } from '../support/web-page.ts';

const HASH = `#/joints/${FLAGGED}/review`;
const charts = (page: Page) => page.locator('.trend.timed canvas').waitFor();
const enterAs = (page: Page) => page.getByLabel('Who enters it').selectOption({ label: 'A. Example' });

/** Fills what every scan has. */
async function startScan(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Enter a scan' }).click();
  await page.getByLabel('Number of the report').fill('UT-88');
  await page.getByLabel('Method, in NDT’s word').fill('automated ultrasonic testing');
  await page.getByLabel('Scanned').fill('2026-05-12T10:00');
  await page.getByLabel('Uncertainty of where its zero was set').fill('10');
  await enterAs(page);
}

const findings = async (server: ReviewPage['server']) =>
  (await server.read('/api/v1/entries?kind=reviewFinding')).entries;

describe.skipIf(noChromium())('a flagged joint under review', () => {
  const { open } = webPage();

  it('from the list to a ruling: the call typed, what lies under it, no correlation, a passphrase, the report', async () => {
    const { page, server } = await openReview(open, '#/joints');
    const reviewer = await answer(
      ROUTES.addPerson,
      await server.post('/api/v1/people', { name: 'Rhea Example', roles: ['reviewer'] }),
    );
    await answer(
      ROUTES.setPassphrase,
      await server.post(`/api/v1/people/${reviewer.id}/passphrase`, {
        ...{ author: reviewer.id, authorPassphrase: null, passphrase: 'seven brown kettles' },
      }),
    );
    await page.locator('.joint-row', { hasText: FLAGGED }).getByRole('link', { name: 'Review' }).click();
    await page.getByRole('heading', { name: `Review of joint ${FLAGGED}` }).waitFor();
    await startScan(page);
    await page.getByLabel('Indications', { exact: true }).fill('1,lack of fusion,180,mm,15,10,2');
    await page.getByRole('button', { name: 'Enter the scan' }).click();
    const call = page.locator('.indication', { hasText: '1: lack of fusion' });
    await call.waitFor();
    // 180 mm of 1916 mm is 1:08; 10 mm deep and 2 high reaches into the fill, and into the root within 1.5 mm.
    expect(await shownText(call)).toMatch(/1:08 to 1:13 o’clock, 180 mm from 12 o’clock \(± 10 mm\)/);
    expect(await shownText(call)).toContain('10.0 mm deep, 2.0 mm high (layers within ± 1.5 mm of it count)');
    expect(await shownTexts(call.locator('.covered-pass strong').filter({ hasText: 'side' }))).toEqual([
      'side B, root (rig-a)',
      'side B, fill 1 (rig-a)',
    ]);
    const fill = call.locator('.covered-pass', { hasText: 'fill 1' });
    // Each number under the strip stands at the foot of a line from its box.
    expect(await page.locator('.unrolled-lead').count()).toBe(await page.locator('.unrolled-label').count());
    expect(await shownText(fill)).toContain('out of limits there: Welding current');
    await fill.locator('summary').click();
    const detail = fill.locator('.covered-detail table');
    expect(await shownText(detail)).toMatch(/Limits[\s\S]*190 – 260/);
    expect(await detail.locator('tr[data-verdict="out"]').count()).toBeGreaterThan(2);
    expect(await page.locator('.unrolled-call .unrolled-indication').count()).toBe(2);

    await fill.getByRole('link', { name: /Show it/ }).click();
    // What is shown stands far below: the page goes there, and the focus with it.
    await waitUntil(
      () => page.locator('#inspector-title').evaluate(one => one === document.activeElement),
      'the focus on the pass that is shown',
    );
    const shown = (await page.locator('#inspector-title').boundingBox())!.y;
    // To a pixel: a page may stand scrolled by a part of one.
    expect(shown).toBeGreaterThan(-1);
    expect(shown).toBeLessThan(page.viewportSize()!.height / 2);
    await charts(page);
    expect(page.url()).toMatch(/pass=[^&]+&from=1\d\d&to=2\d\d/);
    expect(await page.getByLabel('Welding current along the weld').getAttribute('aria-label')).toMatch(
      /236 to 280 A/,
    );

    await call.getByRole('button', { name: 'Record a finding' }).click();
    await page.getByRole('button', { name: 'Record the finding' }).click();
    await page.getByText('Say whether there is a correlation.').waitFor();
    await page.getByRole('radio', { name: 'No correlation found' }).check();
    await page.getByLabel('In words').fill('The current was high, the shape says otherwise.');
    await enterAs(page);
    await page.getByRole('button', { name: 'Record the finding' }).click();
    await page.locator('.finding-line', { hasText: 'No correlation found' }).waitFor();
    expect(await findings(server)).toMatchObject([
      { body: { correlation: 'none', indication: { label: '1' }, joint: FLAGGED } },
    ]);

    await page.getByText('NO DISPOSITION').waitFor();
    await page.getByRole('link', { name: 'Enter a disposition' }).click();
    await page.getByRole('radio', { name: 'Repair', exact: true }).check();
    await page.getByLabel('Reason').fill('by scan UT-88');
    await page.locator('#signer').selectOption({ label: 'Rhea Example' });
    await page.getByLabel('Your passphrase').fill('seven brown kettles');
    await page.getByRole('button', { name: 'Sign this disposition' }).click();
    await page.getByText('Disposition: Repair').first().waitFor();
    await page.evaluate(to => {
      location.hash = to;
    }, HASH);
    await page.getByText('Disposition: Repair').waitFor();

    const report = page.getByRole('link', { name: /Report/ }).first();
    const saved = await server.get((await report.getAttribute('href'))!);
    expect(saved.headers.get('content-type')).toContain('application/pdf');
    expect(
      Buffer.from(await saved.arrayBuffer())
        .subarray(0, 5)
        .toString(),
    ).toBe('%PDF-');
  });

  it('the call from a CSV file, a range typed, the same pass of another joint beside it, a correlation found', async () => {
    const { page, server } = await openReview(open, HASH);
    await charts(page);
    await startScan(page);
    await page.setInputFiles('input[type="file"]', {
      name: 'scan.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from(
        'label;type;position;unit;length_mm;depth_mm\r\n7;lack of fusion;34,5;degrees;15;10\r\n',
      ),
    });
    await waitUntil(
      async () => (await page.getByLabel('Indications', { exact: true }).inputValue()).includes('34,5'),
      'the file to be read',
    );
    await page.getByRole('button', { name: 'Enter the scan' }).click();
    // 34.5° is 1:09 on the clock, and 183.7 mm along 610 mm.
    await page.locator('.indication', { hasText: '7: lack of fusion' }).waitFor();
    expect(await shownText(page.locator('.indication'))).toMatch(/1:09 to 1:15 o’clock, 184 mm from 12/);

    await page.getByLabel('From, mm').fill('100');
    await page.getByLabel('To, mm').fill('450');
    await waitUntil(() => page.url().includes('from=100&to=450'), 'the range in the address');
    // One reading of 290 A at 375 mm: of 3 000 samples it is not lost.
    await page.locator('canvas[aria-label*="236 to 290 A"]').waitFor();
    await page.getByText('What the charts show, in numbers').click();
    expect(await shownTexts(page.locator('.channel-stack .plain-table td', { hasText: '290' }))).toEqual([
      '236 – 290',
    ]);

    await page.getByLabel('Add a joint').selectOption(BESIDE);
    await page.getByRole('button', { name: 'Add', exact: true }).click();
    await page.locator('.step-names', { hasText: BESIDE }).waitFor();
    expect(page.url()).toContain(`beside=${BESIDE}`);
    await page.getByText('The same in numbers').click();
    const highest = page.locator('.beside-joints tbody tr', { hasText: '280' }).first();
    expect(await shownText(highest)).toContain('236');

    await page.getByRole('button', { name: 'Record a finding' }).click();
    await page.getByRole('radio', { name: 'Correlation found', exact: true }).check();
    await page.getByLabel('In words').fill('44 A above the joint beside it, over its whole length.');
    await enterAs(page);
    await page.getByRole('button', { name: 'Record the finding' }).click();
    await page.locator('.finding-line', { hasText: 'Correlation found' }).waitFor();
    expect(await findings(server)).toMatchObject([{ body: { correlation: 'found' } }]);
    await page.getByRole('button', { name: 'Write a note' }).click();
    await page.getByLabel('Note', { exact: true }).fill('Tip changed after this pass.');
    await enterAs(page);
    await page.getByRole('button', { name: 'Keep the note' }).click();
    await page.locator('.finding-line', { hasText: 'Tip changed' }).waitFor();
    const { entries } = await server.read('/api/v1/entries?kind=annotation');
    expect(entries).toMatchObject([{ body: { fromMm: 100, toMm: 450, joint: FLAGGED } }]);
  });

  it('the list is narrowed by filters that stand in the address', async () => {
    const { page } = await openReview(open, '#/joints');
    await page.locator('.joint-row', { hasText: BESIDE }).waitFor();
    expect(await shownText(page.locator('.joint-row', { hasText: BESIDE }))).toMatch(
      /1 of 4 passes[\s\S]*missing: Joint J-0043 was never opened/,
    );
    await page.getByText('Filters', { exact: true }).click();
    await page.getByLabel('Deviations').selectOption({ label: 'with deviations' });
    await page.getByLabel('WPS revision').selectOption({ label: 'review-610 rev. 1' });
    await waitUntil(async () => (await page.locator('.joint-row').count()) === 1, 'one joint');
    expect(page.url()).toContain('procedure=review-610.1&deviations=yes');
    await page.locator('.joint-row', { hasText: FLAGGED }).waitFor();
    await page.getByLabel('Record').selectOption({ label: 'every pass there, nothing missing' });
    await page.getByText('No joint is like this.').waitFor();
    await page.getByRole('button', { name: 'Take all filters away' }).click();
    await page.locator('.joint-row', { hasText: BESIDE }).waitFor();
    expect(page.url()).toMatch(/#\/joints$/);
    // What the list cannot be narrowed by is said, not passed over; a filter that is chosen takes it away.
    await page.evaluate(() => {
      location.hash = '#/joints?deviations=perhaps';
    });
    await page.getByRole('alert').filter({ hasText: 'deviations=perhaps' }).waitFor();
    await page.locator('.joint-row', { hasText: BESIDE }).waitFor();
    await page.getByLabel('Deviations').selectOption({ label: 'with deviations' });
    await page.getByRole('alert').filter({ hasText: 'perhaps' }).waitFor({ state: 'detached' });
  });

  it('one cursor for strip and charts; the address follows, and back leaves the page', async () => {
    const { page } = await openReview(open, '#/joints');
    await page.locator('.joint-row', { hasText: FLAGGED }).getByRole('link', { name: 'Review' }).click();
    await charts(page);
    const slider = page.getByLabel('Cursor, mm');
    await slider.focus();
    for (let i = 0; i < 5; i++) await page.keyboard.press('ArrowRight');
    await page.getByText(/At 5 mm, 12:0\d o’clock, 0\.7 s of the pass/).waitFor();
    await page.locator('.unrolled-cursor').waitFor({ state: 'attached' });
    await waitUntil(() => page.url().includes('at=5'), 'the cursor in the address');
    await page.getByRole('radio', { name: 'time' }).check();
    await waitUntil(() => page.url().includes('axis=s'), 'the axis in the address');
    await page.goBack();
    await page.getByRole('heading', { name: 'Joints', exact: true }).waitFor();
    await page.goForward();
    await page.getByText(/At 5 mm/).waitFor();
    expect(await page.getByRole('radio', { name: 'time' }).isChecked()).toBe(true);
  });

  it('passes on the strip are reached and opened by keyboard', async () => {
    const { page } = await openReview(open, HASH);
    await charts(page);
    const root = page.locator('.unrolled a[aria-label^="side A, root"]');
    await root.focus();
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Along the weld: side A, root (rig-a)' }).waitFor();
    expect(await root.getAttribute('aria-current')).toBe('true');
  });

  it.each([
    ['small phone', { width: 320, height: 640 }, 'day', false],
    ['phone', { width: 390, height: 844 }, 'night', true],
    ['tablet', { width: 820, height: 1180 }, 'night', false],
    ['truck screen', { width: 1920, height: 1080 }, 'day', false],
  ] as const)(
    'on a %s of %o by %s, gloves %s: nothing is cut off, too small or against WCAG 2.2 AA',
    async (_, size, theme, gloves) => {
      const { page } = await openReview(
        open,
        `${HASH}?at=180&beside=${BESIDE}`,
        { ...size, theme, gloves },
        server => server.enter(scanReport(FLAGGED)),
      );
      await charts(page);
      await page.locator('.step-names').waitFor();
      await page.getByRole('button', { name: 'Enter a scan' }).click();
      await page.getByRole('button', { name: 'Record a finding' }).click();
      await page.getByRole('button', { name: 'Write a note' }).click();
      await openDetails(page);
      expect(await hasSidewaysScroll(page)).toBe(false);
      expect(await axeViolations(page)).toEqual([]);
      const least = gloves ? 96 : 48;
      const small = await page
        .locator(
          'main button:visible, main a:visible, main select, main input:not([type="radio"], .file-input):visible, main summary',
        )
        .evaluateAll(
          (all, px) =>
            all
              .filter(one => one.getBoundingClientRect().height < px - 0.5)
              .map(one => one.outerHTML.slice(0, 90)),
          least,
        );
      expect(small).toEqual([]);
    },
  );
});
