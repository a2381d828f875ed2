import { describe, expect, it } from 'vitest';
import { noChromium } from '../support/browser.ts';
import { PROCEDURE, type RigFixture } from '../support/dashboard-fixtures.ts';
import { waitUntil } from '../support/wait-until.ts';
import { shownText, shownTexts, webPage } from '../support/web-page.ts';

const rigs: readonly RigFixture[] = [
  { rig: 'rig-3', place: 0, joint: 'J-0500' },
  { rig: 'rig-4', place: 1, noWork: true },
];
const ASSIGN = '#/assign/spread-1/rig-4';

describe.skipIf(noChromium())('assigning work to a rig', () => {
  const { open, fake } = webPage();

  it('goes from the tile through the form to the rig', async () => {
    const page = await open(rigs);
    await page.locator('.no-work').waitFor();
    await page.getByRole('link', { name: 'Assign work rig-4' }).click();
    await page.getByText('EXAMPLE ONLY – NOT A PROCEDURE').first().waitFor();
    await page.getByRole('radio', { name: /example-610 rev\. 1/ }).check();
    await page.getByRole('radio', { name: 'fill 1' }).check();
    await page.getByRole('button', { name: 'Same as rig-3: J-0500' }).click();
    await page.getByRole('radio', { name: /^B/ }).check();
    await page.getByLabel('Who is entering this').selectOption('new');
    await page.getByLabel('Your name').fill('Mira Holt');
    expect(await shownText(page.locator('main'))).toContain('Names are not verified.');
    await page.locator('.summary', { hasText: 'rig-4 will record joint J-0500, side B, fill 1' }).waitFor();
    await page.getByRole('button', { name: 'Assign', exact: true }).click();
    await page.locator('.board').waitFor();
    await page.locator('.tile', { hasText: 'fill 1' }).waitFor();
    expect(fake().posted.slice(-2)).toEqual([
      { path: '/api/v1/people', body: { name: 'Mira Holt', roles: ['viewer'] } },
      {
        path: '/api/v1/assignments',
        body: {
          site: 'spread-1',
          rig: 'rig-4',
          author: 'p-new',
          work: {
            joint: 'J-0500',
            side: 'B',
            pass: 'fill 1',
            procedureId: PROCEDURE.id,
            procedureRevision: 1,
            outsideDiameterMm: 610,
            startDegrees: 0,
          },
        },
      },
    ]);
  });

  it('names what is missing and sends nothing', async () => {
    const page = await open(rigs, { hash: ASSIGN });
    const before = fake().posted.length;
    await page.getByRole('button', { name: 'Assign', exact: true }).click();
    await page.locator('.error').first().waitFor();
    expect(await shownTexts(page.locator('.error'))).toEqual([
      'Choose a procedure revision.',
      'Choose the pass.',
      'Enter the joint number.',
      'Choose side A or B.',
      'Choose or enter who is making this entry.',
      'Enter the outside diameter, more than 0.',
    ]);
    expect(await page.evaluate(() => document.activeElement?.getAttribute('name'))).toBe('procedure');
    expect(fake().posted).toHaveLength(before);
  });

  it('shows a refusal as the server’s sentence and keeps what was typed', async () => {
    const page = await open([{ ...rigs[0]! }, { rig: 'rig-4', place: 1, joint: 'J-0501' }], { hash: ASSIGN });
    await page.getByLabel('Who is entering this').selectOption({ label: 'Ines Marrow' });
    fake().refuseNext('Pass "fill 2" is not in example-610 revision 1.');
    await page.getByRole('button', { name: 'Assign', exact: true }).click();
    const alert = page.getByRole('alert');
    await alert.getByText('Not assigned: Pass "fill 2" is not in example-610 revision 1.').waitFor();
    expect(await page.getByLabel('Joint number').inputValue()).toBe('J-0501');
  });

  it('clears the work of a rig', async () => {
    const page = await open([rigs[0]!, { rig: 'rig-4', place: 1, joint: 'J-0501' }], { hash: ASSIGN });
    await page.getByLabel('Who is entering this').selectOption({ label: 'Tobi Lund' });
    const before = fake().posted.length;
    await page.getByRole('button', { name: 'Clear: no work for this rig' }).click();
    await waitUntil(() => fake().posted.length > before, 'the entry');
    expect(fake().posted.at(-1)?.body).toMatchObject({ rig: 'rig-4', author: 'p-2', work: null });
  });
});
