import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { openWithJournal, readinessOf } from '../support/fake-journal.ts';
import { hasSidewaysScroll, webPage } from '../support/web-page.ts';

describe.skipIf(noChromium())('the carriage a torch rides on', () => {
  const web = webPage();

  it('is named at the start of the shift: refused in words, then saved as an entry', async () => {
    const options = { hash: '#/ready', width: 320, height: 640, reducedMotion: true };
    const { page, journal } = await openWithJournal(web, [{ rig: 'rig-3', place: 0 }], options, [
      readinessOf('rig-3', ['clock']),
    ]);
    await page.getByRole('button', { name: /^Name the carriage/ }).click();
    await page.getByRole('button', { name: 'Save the carriage' }).click();
    await page.getByText('Use letters a to z, digits and hyphens.').waitFor();
    expect(await axeViolations(page)).toEqual([]);
    expect(await hasSidewaysScroll(page)).toBe(false);
    await page.getByLabel('Carriage', { exact: true }).fill('Bug-1');
    await page.getByLabel('Who says so').selectOption({ index: 1 });
    await page.getByRole('button', { name: 'Save the carriage' }).click();
    await page.getByRole('button', { name: 'Save the carriage' }).waitFor({ state: 'detached' });
    expect(journal.entries.map(({ body }) => body)).toEqual([
      { kind: 'carriage', site: 'spread-1', rig: 'rig-3', carriageId: 'bug-1' },
    ]);
  });
});
