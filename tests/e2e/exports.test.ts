import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { START_UTC_MS } from '../support/dashboard-fixtures.ts';
import { fakeDispositions } from '../support/fake-dispositions.ts';
import { type FakeExports, fakeExports } from '../support/fake-exports.ts';
import { enterOpening, openJointPage } from '../support/joint-page.ts';
import { hasSidewaysScroll, type OpenOptions, webPage } from '../support/web-page.ts';

describe.skipIf(noChromium())('exports', () => {
  const web = webPage();

  async function opened(hash: string, options: OpenOptions = {}): Promise<{ page: Page; fake: FakeExports }> {
    const { page, joints } = await openJointPage(web, '#/about', enterOpening, options);
    await fakeDispositions(page, joints);
    const fake = await fakeExports(page);
    await page.goto(`${web.fake().url}/${hash}`);
    await page.reload();
    return { page, fake };
  }

  it('of a joint are links with its origin, the zone of this browser and the paper that is chosen', async () => {
    const { page } = await opened('#/joints/J-0412');
    const zone = await page.evaluate(() => new Intl.DateTimeFormat().resolvedOptions().timeZone);
    const archive = page.getByRole('link', { name: 'Everything of this joint, one archive (ZIP)' });
    const asked = async () => new URL(`http://x${await archive.getAttribute('href')}`);
    const first = await asked();
    expect(first.pathname).toBe('/api/v1/joints/J-0412/export.zip');
    expect(Object.fromEntries(first.searchParams)).toEqual({ zone, origin: 'simulated', paper: 'letter' });
    expect(await archive.getAttribute('download')).toBe('');
    const times = zone === 'UTC' ? 'Times are UTC.' : `Times are UTC, and ${zone} beside it.`;
    expect(await page.locator('.export-panel .hint').first().textContent()).toContain(times);
    await page.getByRole('radio', { name: 'both' }).check();
    expect((await asked()).searchParams.get('paper')).toBe('a4,letter');
    const reports = page.getByRole('link', { name: /^Report \(PDF\)/ });
    expect(await reports.allTextContents()).toEqual(['Report (PDF), A4', 'Report (PDF), Letter']);
    for (const [name, path] of [
      ['Passes', 'passes.csv'],
      ['Windows of 25 mm', 'windows.csv'],
      ['Deviations and changes', 'deviations.csv'],
      ['Events', 'events.csv'],
      ['Data (JSON)', 'export.json'],
    ] as const) {
      const href = await page
        .locator('.export-panel')
        .getByRole('link', { name, exact: true })
        .getAttribute('href');
      expect(href).toMatch(new RegExp(`^/api/v1/joints/J-0412/${path}\\?`));
    }
  });

  it('of a day are made by the server, followed and saved; all of it with the keyboard', async () => {
    const { page, fake } = await opened('#/joints');
    await page.getByText('Export a day').focus();
    await page.keyboard.press('Enter');
    const make = page.getByRole('button', { name: 'Make the archive' });
    await make.focus();
    await page.keyboard.press('Enter');
    await page.getByText('Choose a day.').waitFor();
    expect(fake.asked).toEqual([]);
    await page.getByLabel('Day', { exact: true }).fill('2026-05-12');
    await make.focus();
    await page.keyboard.press('Enter');
    await page.getByText('Joints of 2026-05-12: 0 of 7 joints.').waitFor();
    const zone = await page.evaluate(() => new Intl.DateTimeFormat().resolvedOptions().timeZone);
    const manner = { lang: 'en', units: 'metric', decimal: 'point' };
    expect(fake.asked).toEqual([{ date: '2026-05-12', zone, papers: ['letter'], ...manner }]);
    fake.job = { ...fake.job!, done: 3 };
    await page.getByText('Joints of 2026-05-12: 3 of 7 joints.').waitFor();
    expect(await page.getByRole('progressbar', { name: 'Joints of 2026-05-12' }).getAttribute('value')).toBe(
      '3',
    );
    fake.job = {
      ...fake.job,
      state: 'done',
      done: 7,
      bytes: 12_340_000,
      keptUntil: new Date(START_UTC_MS + 86_400_000).toISOString(),
    };
    const save = page.getByRole('link', { name: 'Save joints-2026-05-12.zip' });
    await save.waitFor();
    expect(await save.getAttribute('href')).toBe('/api/v1/exports/x-1/file');
    await page.getByText(/^Joints of 2026-05-12: ready, 12\.3 MB, kept until 13 May/).waitFor();
  });

  it('of a day are cancelled, and a refusal is said as it is', async () => {
    const { page, fake } = await opened('#/joints');
    await page.getByText('Export a day').click();
    await page.getByLabel('Day', { exact: true }).fill('2026-05-12');
    await page.getByRole('button', { name: 'Make the archive' }).click();
    await page.getByRole('button', { name: 'Cancel it' }).click();
    await page.getByText('Joints of 2026-05-12: cancelled, nothing is kept.').waitFor();
    fake.refusal = 'No pass of any joint began on 2026-05-12 (UTC).';
    await page.getByRole('button', { name: 'Make the archive' }).click();
    await page.getByRole('alert').filter({ hasText: fake.refusal }).waitFor();
  });

  it('are followed by whoever comes later', async () => {
    const { page, fake } = await opened('#/joints');
    fake.job = {
      ...{
        id: 'x-1',
        state: 'failed',
        date: null,
        zone: 'UTC',
        origin: 'simulated',
        done: 1,
        total: 2,
        bytes: 5,
      },
      ...{ startedAt: new Date(START_UTC_MS).toISOString(), endedAt: new Date(START_UTC_MS).toISOString() },
      ...{ file: 'joints.zip', problem: 'The disk is full: free space, then ask again.', keptUntil: null },
    } as NonNullable<FakeExports['job']>;
    await page.getByText('Export a day').click();
    await page.getByText('Chosen joints: not made. The disk is full: free space, then ask again.').waitFor();
  });

  it.each(['day', 'night'] as const)('have nothing for axe to say, %s', async theme => {
    const found: string[] = [];
    for (const hash of ['#/joints/J-0412', '#/joints']) {
      const { page } = await opened(hash, { theme, reducedMotion: true });
      if (hash === '#/joints') {
        await page.getByText('Export a day').click();
        await page.getByLabel('Day', { exact: true }).fill('2026-05-12');
        await page.getByRole('button', { name: 'Make the archive' }).click();
        await page.getByRole('progressbar').waitFor();
      } else await page.locator('.export-panel').waitFor();
      found.push(...(await axeViolations(page)).map(violation => `${hash} ${violation}`));
    }
    expect(found).toEqual([]);
  });

  it('fit a phone of 320 px, with targets of 48 px', async () => {
    for (const [hash, panel] of [
      ['#/joints/J-0412', '.export-panel'],
      ['#/joints', '.export-day'],
    ] as const) {
      const { page } = await opened(hash, { width: 320, height: 640 });
      if (hash === '#/joints') await page.getByText('Export a day').click();
      const targets = page.locator(
        `${panel} a, ${panel} button, ${panel} .pick, ${panel} summary, ${panel} input[type=date]`,
      );
      await targets.nth(1).waitFor();
      for (const target of await targets.all()) {
        const box = await target.boundingBox();
        expect(Math.round(box!.height), await target.evaluate(node => node.outerHTML)).toBeGreaterThanOrEqual(
          48,
        );
      }
      expect(await hasSidewaysScroll(page)).toBe(false);
    }
  });
});
