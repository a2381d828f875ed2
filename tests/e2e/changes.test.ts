import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { openChanges } from '../support/changes-pages.ts';
import { hasSidewaysScroll, shownText, shownTexts, webPage } from '../support/web-page.ts';

const PHONE = { width: 390, height: 844 };

describe.skipIf(noChromium())('changes along the weld', () => {
  const { open } = webPage();

  it('an inspector marks a call in one tap once it is said who marks; the measured rate follows', async () => {
    const { page, server } = await openChanges(open, '#/changes', PHONE);
    const row = page.locator('.call-row', { hasText: 'DRIFTING' });
    await row.waitFor();
    await row.getByRole('button', { name: 'Not real' }).click();
    await page.getByText('Say who marks first.').waitFor();
    await page.getByLabel('Who marks').selectOption({ label: 'A. Example' });
    await row.getByRole('button', { name: 'Not real' }).click();
    await row.getByText('Not real: A. Example').waitFor();
    const { entries } = await server.read('/api/v1/entries?kind=callMark');
    expect(entries).toMatchObject([{ body: { call: { of: 'drift', number: 1 }, mark: 'notReal' } }]);
    await page.getByText('1 not real').waitFor();
    expect(await shownText(page.locator('.trust-figures'))).toMatch(
      /each other: \d+\.\d\d false calls in 100 passes\./,
    );
    await page.reload();
    await page.locator('.call-row [aria-pressed="true"]').waitFor();
  });

  it('settings say what they do, are tried on the last passes, and only then saved with name and reason', async () => {
    const { page, server } = await openChanges(open, '#/changes/settings', { width: 1280, height: 800 });
    const effect = page.locator('.settings-effect');
    await effect.waitFor();
    const before = await shownText(effect);
    // 4 σ against k = 1.5: 2.5 σ a window add up to 3.75 in 1.5 windows and a little, 25 mm each.
    expect(before).toMatch(/a change of 4 σ is called after 1\.\d windows, \d\d mm of weld, on average/);
    expect(before).toContain('It is drawn and calls nothing');
    await page.getByLabel('Patience h').fill('9');
    await page.getByText('Try them on the last passes first').waitFor();
    expect(await shownText(effect)).not.toBe(before);
    expect(await page.getByRole('button', { name: 'Use these from now on' }).count()).toBe(0);
    await page.getByRole('button', { name: 'Try on the last 20 passes' }).click();
    await page.getByRole('heading', { name: 'On the last passes' }).waitFor();
    await page.getByRole('button', { name: 'Use these from now on' }).click();
    await page.getByText('Say why.').waitFor();
    await page.getByLabel('Why', { exact: true }).fill('too many calls on the cap');
    await page.getByLabel('Who enters it').selectOption({ label: 'A. Example' });
    await page.getByRole('button', { name: 'Use these from now on' }).click();
    await page.getByText('Saved. Every edge').waitFor();
    const { entries } = await server.read('/api/v1/entries?kind=watchChanged');
    expect(entries).toMatchObject([{ reason: 'too many calls on the cap', body: { settings: { h: 9 } } }]);
    await page.getByText('Changed by A. Example').first().waitFor();
  });

  it('a number that makes no sense is refused where it was typed', async () => {
    const { page } = await openChanges(open, '#/changes/settings');
    await page.getByLabel('Slack k').fill('many');
    await page.getByText('A number from 0.1 to 10.').waitFor();
    expect(await shownText(page.locator('.settings-effect'))).toContain(
      'once every number above makes sense',
    );
    expect(await page.getByRole('button', { name: 'Try on the last 20 passes' }).isDisabled()).toBe(true);
  });

  it('over the joints: limits of what is usual, the odd pass outside them, closure, and the same as a table', async () => {
    const { page } = await openChanges(open, '#/changes/joints');
    await page.locator('.level-row').first().waitFor();
    expect(await shownTexts(page.locator('.level-row h2'))).toEqual(['rig-a, side A', 'rig-a, side B']);
    const odd = page.locator('.level-row', { hasText: 'side B' });
    expect(await shownText(odd)).toContain('1 pass outside what is usual');
    expect(await odd.locator('.level-out').count()).toBe(1);
    await odd.getByText('As a table').click();
    expect(await shownText(odd.locator('tr', { hasText: 'J-0109' }))).toContain('205 A');
    await page.getByRole('radio', { name: 'Closure of both sides' }).check();
    await page.getByText('the WPS gives no overlap: counted as 0').first().waitFor();
    expect(page.url()).toContain('quantity=closure');
  });

  it.each([
    ['phone', { width: 320, height: 640 }, 'day'],
    ['phone', PHONE, 'night'],
    ['tablet', { width: 820, height: 1180 }, 'day'],
    ['truck screen', { width: 1920, height: 1080 }, 'night'],
  ] as const)(
    'on a %s of %o by %s nothing is cut off and nothing is against WCAG 2.2 AA',
    async (_, size, theme) => {
      for (const [hash, ready] of [
        ['#/changes', '.call-row'],
        ['#/changes/settings', '.settings-effect li'],
        ['#/changes/joints', '.level-row svg'],
      ] as const) {
        const { page } = await openChanges(open, hash, { ...size, theme });
        await page.locator(ready).first().waitFor();
        expect(await hasSidewaysScroll(page)).toBe(false);
        expect(await axeViolations(page)).toEqual([]);
      }
    },
  );
});
