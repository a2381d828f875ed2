/** Accounts in a browser, on the dashboard's own server and its own policy for pages. */
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterEach, beforeAll, describe, expect, it } from 'vitest';
import { type AccountBench, PASSPHRASE, startAccountBench } from '../support/accounts.ts';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { builtPage } from '../support/built-page.ts';
import { sharedChromium } from '../support/shared-chromium.ts';
import { hasSidewaysScroll } from '../support/web-page.ts';

describe.skipIf(noChromium())('accounts', () => {
  let folder = '';
  let browser: Browser;
  const contexts: BrowserContext[] = [];
  const errors: string[] = [];

  beforeAll(async () => {
    folder = await builtPage();
    browser = await sharedChromium();
  });
  afterEach(async () => {
    for (const context of contexts.splice(0)) await context.close();
    // A script error, or anything the content security policy had to stop, is a failure of the page.
    expect(errors.splice(0)).toEqual([]);
  });

  async function open(
    bench: AccountBench,
    hash = '#/',
    options: { width?: number; theme?: 'day' | 'night'; cookie?: string } = {},
  ): Promise<Page> {
    const context = await browser.newContext({
      viewport: { width: options.width ?? 1280, height: 900 },
      serviceWorkers: 'block',
    });
    contexts.push(context);
    if (options.cookie !== undefined) {
      const [name = '', value = ''] = options.cookie.split('=');
      await context.addCookies([{ name, value, url: bench.url, httpOnly: true, sameSite: 'Strict' }]);
    }
    const page = await context.newPage();
    page.setDefaultTimeout(60_000);
    page.on('pageerror', error => errors.push(error.message));
    page.on('console', message => {
      if (/Content Security Policy|-src'/i.test(message.text())) errors.push(message.text());
    });
    await page.addInitScript(theme => localStorage.setItem('girthlog.theme', theme), options.theme ?? 'day');
    await page.goto(`${bench.url}/${hash}`);
    return page;
  }

  const bench = (more = {}) => startAccountBench({ page: folder, ...more });

  it('begin with the code on the console, and let others in with codes of their own', async () => {
    const dashboard = await bench();
    const page = await open(dashboard);
    const { code } = dashboard.access.accounts.setUpCode('console');
    await page.getByRole('heading', { name: 'Set up this dashboard' }).waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await page.getByLabel('Code').fill(code.toLowerCase().replaceAll('-', ' '));
    await page.getByLabel('Your name').fill('A. Keeper');
    await page.getByLabel('Sign-in name').fill('keeper');
    await page.getByLabel('New passphrase').fill('password123');
    await page.getByRole('button', { name: 'Make the administrator' }).click();
    await page.getByText('one of the first that anybody tries').waitFor();
    await page.getByLabel('New passphrase').fill(PASSPHRASE);
    await page.getByRole('button', { name: 'Make the administrator' }).click();
    await page.getByRole('heading', { name: 'People', level: 1 }).waitFor();
    await page.getByText('Signed in as A. Keeper').waitFor();

    await page.getByLabel('Name', { exact: true }).fill('B. Inspector');
    await page.getByLabel('Sign-in name').fill('inspector');
    await page.getByLabel('inspector rules about joints').check();
    await page.getByRole('button', { name: 'Open the account' }).click();
    await page.getByRole('heading', { name: 'Code for B. Inspector' }).waitFor();
    const given = (await page.locator('.code-letters').textContent())!;
    expect(given).toMatch(/^[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}$/);

    const other = await open(dashboard);
    await other.getByRole('button', { name: 'I was given a code' }).click();
    await other.getByLabel('Sign-in name').fill('Inspector');
    await other.getByLabel('Code').fill(given);
    await other.getByLabel('New passphrase').fill(PASSPHRASE);
    await other.getByRole('button', { name: 'Set it and sign in' }).click();
    await other.getByText('Signed in as B. Inspector').waitFor();
    // An inspector lets nobody in.
    await other.goto(`${dashboard.url}/#/people`);
    await other.getByText('Only an administrator sees this.').waitFor();

    await page.goto(`${dashboard.url}/#/people/log`);
    await page.getByText('Every line fits the one before it.').waitFor();
    await page.getByRole('cell', { name: 'account opened' }).waitFor();

    // Ended by the administrator: the other page says so, and shows nothing more.
    await page.goto(`${dashboard.url}/#/people`);
    await page
      .locator('.person-row', { hasText: 'B. Inspector' })
      .getByRole('button', { name: 'End', exact: true })
      .click();
    await other.getByRole('heading', { name: 'Sign in to go on' }).waitFor();
  });

  it('keep what is typed when a session may no longer enter', async () => {
    const dashboard = await bench();
    const { cookie } = await dashboard.enter('setter', ['weldSetter']);
    const page = await open(dashboard, '#/open-joint', { cookie });
    await page.getByText('Entered as').waitFor();
    await page.getByLabel('Joint number').fill('J-77');
    dashboard.pass(31 * 60_000);
    await page.locator('main form button[type="submit"]').click();
    await page.getByRole('heading', { name: 'Sign in to go on' }).waitFor();
    const over = page.getByRole('dialog');
    expect(await axeViolations(page)).toEqual([]);
    await over.getByLabel('Sign-in name').fill('setter');
    await over.getByLabel('Passphrase').fill(PASSPHRASE);
    await over.getByRole('button', { name: 'Sign in' }).click();
    // What was sent before goes again by itself.
    await page.getByRole('heading', { name: /J-77/ }).waitFor();
    const [entry] = dashboard.store.journal.about('joint J-77');
    expect(entry?.author).toBe(dashboard.store.accounts.named('setter')?.personId);
  });

  it('sign in by a link once, and the address does not keep it', async () => {
    const dashboard = await bench({ openReading: true, demo: true });
    const { person, cookie } = await dashboard.enter('visitor', ['weldSetter', 'administrator']);
    expect(cookie).not.toBe('');
    const given = await dashboard.post(`/api/v1/accounts/${person.id}/link`, {});
    const { code } = (await given.json()) as { code: string };
    const page = await open(dashboard, `#/sign-in?code=${code}`);
    await page.getByText('Signed in as Person visitor').waitFor();
    await page.getByText('This is the demo').waitFor();
    expect(page.url()).not.toContain(code);
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByText('Not signed in').waitFor();
    const again = await open(dashboard, `#/sign-in?code=${code}`);
    await again.getByText('The link did not sign you in').waitFor();
  });

  it('can be read by everybody: 320 px, keys, day and night, no rule of WCAG broken that a program finds', async () => {
    const dashboard = await bench();
    const { cookie } = await dashboard.setUp();
    await dashboard.enter('inspector', ['inspector']);
    const screens = ['#/sign-in', '#/account', '#/people', '#/people/log'] as const;
    for (const theme of ['day', 'night'] as const) {
      for (const hash of screens) {
        const isOut = hash === '#/sign-in';
        const page = await open(dashboard, hash, { width: 320, theme, ...(isOut ? {} : { cookie }) });
        await page.locator('main h1').waitFor();
        expect(await hasSidewaysScroll(page), `${hash} ${theme}`).toBe(false);
        expect(await axeViolations(page), `${hash} ${theme}`).toEqual([]);
        const small = await page
          .locator('main button, main input:not([type="checkbox"]), main select, main .check')
          .evaluateAll(all =>
            all.filter(one => one.getBoundingClientRect().height < 48).map(one => one.outerHTML),
          );
        expect(small, `${hash} ${theme}`).toEqual([]);
      }
    }
  });
});
