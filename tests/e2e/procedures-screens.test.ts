import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { FIRST_REVISION, openProcedures, SECOND_REVISION } from '../support/fake-procedures.ts';
import { hasSidewaysScroll, shownText, shownTexts, webPage } from '../support/web-page.ts';

describe.skipIf(noChromium())('the screens of procedures', () => {
  const { open } = webPage();

  it('are listed with their states; one revision shows its passes, an example is marked as one', async () => {
    const { page } = await openProcedures(open, '#/procedures');
    await page.locator('.revisions a').first().waitFor();
    const rows = await shownTexts(page.locator('.revisions a'));
    expect(rows).toHaveLength(2);
    expect(rows[0]).toMatch(/rev\. 2\s+DRAFT\s+EXAMPLE ONLY – NOT A PROCEDURE/);
    await page.locator('.revisions a').first().click();
    await page.locator('h1', { hasText: 'example-610 rev. 2' }).waitFor();
    const root = page.locator('.more', { hasText: 'root' }).first();
    expect(await shownTexts(root.locator('tr', { hasText: 'wire feed' }).locator('td'))).toEqual([
      '6.4',
      '6.88',
      '7.36',
      'm/min',
      'window of weld',
      'all round',
      'project rule, example only',
    ]);
    await page.getByRole('radio', { name: 'in, °F' }).check();
    // 6.4 m/min = 251.969 in/min (1 in = 25.4 mm, exact).
    await root.locator('td', { hasText: '251.969' }).waitFor();
    expect(await shownText(page.locator('main'))).toContain('Window and 1 s limits are project rules.');
  });

  it('says in one click which joints used a revision', async () => {
    const { page, fake } = await openProcedures(open, '#/procedures/example-610/1');
    fake.joints = [
      {
        joint: 'J-0412',
        origin: 'simulated',
        by: ['assignment', 'record'],
        lastUtc: '2026-05-12T14:00:00.000Z',
      },
    ];
    await page.getByRole('button', { name: 'Joints that used this revision' }).click();
    await page.locator('.used-list', { hasText: 'SIMULATED, by an assignment, in a record' }).waitFor();
    expect(await page.getByRole('link', { name: 'J-0412' }).getAttribute('href')).toBe('#/joints/J-0412');
  });

  it('shows texts from outside as texts', async () => {
    const bad = '<img src=x onerror="document.title=1">';
    const { page } = await openProcedures(open, '#/procedures/example-610/1', [
      {
        ...FIRST_REVISION,
        title: bad,
        passes: FIRST_REVISION.passes.map(pass => ({
          ...pass,
          limits: pass.limits.map(limit => ({ ...limit, authority: bad })),
        })),
      },
    ]);
    await page.locator('.procedure-title', { hasText: bad }).waitFor();
    expect(await page.locator('main img').count()).toBe(0);
  });

  it.each([
    ['day', false, 48, 320],
    ['night', true, 96, 390],
  ] as const)('axe, reflow and targets: %s, gloves %s', async (theme, gloves, least, width) => {
    const { page } = await openProcedures(open, '#/procedures', [FIRST_REVISION, SECOND_REVISION], {
      width,
      height: 800,
      theme,
      gloves,
    });
    const screens = [
      ['#/procedures', '.revisions'],
      ['#/procedures/example-610/2', '.limits'],
      ['#/procedures/example-610/compare/1/2', '.differences'],
      ['#/procedures/example-610/2/revise', '.limit'],
    ] as const;
    for (const [hash, ready] of screens) {
      await page.evaluate(to => {
        location.hash = to;
      }, hash);
      await page.locator(ready).first().waitFor();
      if (ready === '.limits') await page.getByRole('button', { name: 'Approve this revision' }).click();
      if (hash.endsWith('revise')) await page.getByRole('button', { name: /^Save as/ }).click();
      expect(await axeViolations(page), hash).toEqual([]);
      expect(await hasSidewaysScroll(page), hash).toBe(false);
      const small = await page
        .locator(
          'button:visible:not(.skip), a.button, .revisions a, select, input[type="text"]:visible, .pick, summary',
        )
        .evaluateAll(
          (all, px) =>
            all
              .filter(one => one.checkVisibility() && one.getBoundingClientRect().height < px)
              .map(one => one.outerHTML.slice(0, 90)),
          least,
        );
      expect(small, hash).toEqual([]);
    }
  });
});
