import { describe, expect, it } from 'vitest';
import { noChromium } from '../support/browser.ts';
import { FIRST_REVISION, openProcedures } from '../support/fake-procedures.ts';
import { waitUntil } from '../support/wait-until.ts';
import { shownText, shownTexts, webPage } from '../support/web-page.ts';

describe.skipIf(noChromium())('making and approving procedures', () => {
  const { open } = webPage();

  it('are approved and withdrawn with a name and a reason, and a withdrawal only by mistake is corrected', async () => {
    const { page, fake } = await openProcedures(open, '#/procedures/example-610/2');
    await page.getByRole('button', { name: 'Approve this revision' }).click();
    await page.getByText('An example is not a procedure').waitFor();
    await page.getByRole('button', { name: 'Approve', exact: true }).click();
    expect(await shownTexts(page.locator('.status-entry .error'))).toEqual([
      'Enter the reason.',
      'Choose or enter who makes this entry.',
    ]);
    expect(await shownText(page.locator('.status-entry'))).toContain('Names are not verified.');
    await page.getByLabel('Reason').fill('Qualification record Q-7, invented');
    await page.getByLabel('Who approves or withdraws').selectOption({ label: 'Ines Marrow' });
    await page.getByRole('button', { name: 'Approve', exact: true }).click();
    await page.locator('h1 .state-mark', { hasText: 'APPROVED' }).waitFor();
    expect(fake.entries[0]).toMatchObject({
      author: 'p-1',
      reason: 'Qualification record Q-7, invented',
      corrects: null,
      body: { kind: 'procedureStatus', procedureId: 'example-610', procedureRevision: 2, status: 'approved' },
    });
    expect(await shownText(page.locator('main'))).toContain('Reason: Qualification record Q-7, invented');
    const enter = async (button: string, what: string): Promise<void> => {
      await page.getByRole('button', { name: button }).click();
      await page.getByLabel('Reason').fill('another reason');
      await page.getByRole('button', { name: what, exact: true }).click();
    };
    await enter('Withdraw this revision', 'Withdraw');
    await page.locator('h1 .state-mark', { hasText: 'WITHDRAWN' }).waitFor();
    await enter('Withdrawn by mistake: approve again', 'Approve');
    await waitUntil(() => fake.entries.length === 3, 'the correction');
    expect(fake.entries[2]).toMatchObject({ corrects: fake.entries[1]?.id, body: { status: 'approved' } });
  });

  it('a new one is entered in inches and stored in SI; what is wrong is said at its field', async () => {
    const { page, fake } = await openProcedures(open, '#/procedures');
    await page.evaluate(() => localStorage.setItem('girthlog.units', 'inch'));
    await page.reload();
    await page.getByRole('link', { name: 'New procedure' }).click();
    await page.getByLabel('Procedure id').fill('wps-7');
    await page.getByLabel('Title').fill('Invented for a test');
    await page.getByLabel('Name of the pass').fill('root');
    await page.getByLabel('Kind (root, hot, fill, cap …)').fill('root');
    await page.getByRole('button', { name: 'Add a limit' }).click();
    const limit = page.locator('.limit');
    await limit.getByLabel('Quantity').selectOption('travelSpeed');
    expect(await limit.getByLabel('Unit').inputValue()).toBe('[in_i]/min');
    await limit.getByLabel('Min', { exact: true }).fill('30');
    await limit.getByLabel('Max', { exact: true }).fill('20');
    await limit.getByLabel('Judged on').selectOption('pass');
    await limit.getByLabel('Authority').fill('project rule');
    await page.getByRole('button', { name: 'Save as rev. 1' }).click();
    expect(await shownTexts(page.locator('.error'))).toContain('Choose or enter who makes this entry.');
    await page.getByLabel('Who enters this').selectOption({ label: 'Ines Marrow' });
    await page.getByRole('button', { name: 'Save as rev. 1' }).click();
    // The server's own sentence, where it belongs.
    await limit.locator('.error', { hasText: /min 12\.7 is not below max 8\.4/ }).waitFor();
    await page.waitForFunction(() => /^limit-\d+-min$/.test(document.activeElement?.id ?? ''));
    expect(fake.stored).toHaveLength(2);
    await limit.getByLabel('Min', { exact: true }).fill('10');
    expect(await shownText(limit.locator('.cell', { hasText: 'Min' }).locator('.cell-note'))).toBe(
      'stored: 4.23333 mm/s',
    );
    await page.getByRole('button', { name: 'Save as rev. 1' }).click();
    await page.locator('h1', { hasText: 'wps-7 rev. 1' }).waitFor();
    const [stored] = fake.stored.at(-1)!.procedure.passes[0]!.limits;
    expect(stored).toEqual({
      quantity: 'travelSpeed',
      unit: 'mm/s',
      basis: 'pass',
      min: expect.closeTo(254 / 60, 9),
      max: expect.closeTo(508 / 60, 9),
      authority: 'project rule',
    });
    expect(fake.stored.at(-1)?.author).toBe('p-1');
  });

  it('a heat input that current, voltage and travel cannot reach is refused at its field, before it is sent', async () => {
    const { page, fake } = await openProcedures(open, '#/procedures/example-610/2/revise');
    const energy = page.locator('.limit', { hasText: 'Limit on arc energy' }).first();
    await energy.getByLabel('Min', { exact: true }).fill('2');
    await energy.getByLabel('Nominal').fill('2.2');
    await energy.getByLabel('Max', { exact: true }).fill('2.5');
    await page.getByLabel('Who enters this').selectOption({ label: 'Ines Marrow' });
    await page.getByRole('button', { name: 'Save as rev. 3' }).click();
    await energy.locator('.error', { hasText: /arcEnergy, min: 2 kJ\/mm cannot be reached/ }).waitFor();
    for (const [label, value] of [
      ['Min', '0.3'],
      ['Nominal', '0.305'],
      ['Max', '0.342'],
    ] as const) {
      await energy.getByLabel(label, { exact: true }).fill(value);
    }
    // A crossed limit is named itself, not what follows from it.
    const current = page.locator('.limit', { hasText: 'Limit on current' }).first();
    await current.getByLabel('Max', { exact: true }).fill('100');
    await page.getByRole('button', { name: 'Save as rev. 3' }).click();
    await current.locator('.error', { hasText: 'min 166 is not below max 100' }).waitFor();
    expect(await page.locator('.limit .error').count()).toBe(1);
    await current.getByLabel('Max', { exact: true }).fill('194');
    // What a rig can do is the server's setting: its refusal stands at the field too.
    const travel = page.locator('.limit', { hasText: 'Limit on travel' }).first();
    await travel.getByLabel('Max', { exact: true }).fill('500');
    await page.getByRole('button', { name: 'Save as rev. 3' }).click();
    await travel.locator('.error', { hasText: 'outside what a rig can do' }).waitFor();
    expect(fake.stored).toHaveLength(2);
  });

  it('a revision is made from the last one, kept while it is typed, and compared field by field', async () => {
    const { page, fake } = await openProcedures(open, '#/procedures/example-610/2');
    await page.getByRole('link', { name: 'Make the next revision' }).click();
    const current = page.locator('.limit').first();
    await current.getByLabel('Max', { exact: true }).fill('200');
    await current.getByLabel('Only in a clock zone').check();
    await current.getByLabel('From, o’clock').fill('4:30');
    await current.getByLabel('To, o’clock').fill('7:30');
    await page.reload();
    await page.getByText(/^What was typed here and not saved/).waitFor();
    expect(await current.getByLabel('Max', { exact: true }).inputValue()).toBe('200');
    await page.getByLabel('Who enters this').selectOption({ label: 'Tobi Lund' });
    fake.refuseNext = 'The store cannot be written.';
    await page.getByRole('button', { name: 'Save as rev. 3' }).click();
    await page.getByText('Not saved: The store cannot be written.').waitFor();
    await page.getByRole('button', { name: 'Save as rev. 3' }).click();
    await page.getByRole('link', { name: 'Compare with rev. 2' }).click();
    await page.locator('.differences').waitFor();
    const rows = await shownTexts(page.locator('.differences tbody tr'));
    expect(
      rows.some(row => /current \(window of weld, 4:30 to 7:30\): max\s+added\s+–\s+200 A/.test(row)),
    ).toBe(true);
    expect(rows.every(row => row.startsWith('current'))).toBe(true);
    // Nothing else moved by a hair on its way through the form.
    expect(
      fake.stored
        .at(-1)
        ?.procedure.passes.slice(1)
        .flatMap(pass => pass.limits.map(l => l.quantity)),
    ).toEqual(FIRST_REVISION.passes.slice(1).flatMap(pass => pass.limits.map(l => l.quantity)));
    await page.getByLabel('From revision').selectOption('1');
    await page.waitForURL(/compare\/1\/3/);
    await page.locator('.differences', { hasText: 'M21' }).waitFor();
  });

  it('files: a procedure comes in as JSON, its passes as CSV, and both go out', async () => {
    const { page, fake } = await openProcedures(open, '#/procedures');
    const give = (label: string, name: string, content: string) =>
      page
        .getByLabel(label)
        .last()
        .setInputFiles({
          name,
          mimeType: 'text/plain',
          buffer: Buffer.from(content),
        });
    await give('Import a procedure file (JSON)', 'x.json', '{"schema":"girthlog.procedure/1","surprise":1}');
    await page.getByText('The file has “surprise”, which a procedure has not.').waitFor();
    await give(
      'Import a procedure file (JSON)',
      'x.json',
      JSON.stringify({ ...FIRST_REVISION, id: 'imported', revision: 4 }),
    );
    await page.locator('h1', { hasText: 'New procedure' }).waitFor();
    expect(await page.getByLabel('Procedure id').inputValue()).toBe('imported');
    await give('Take the passes from a pass table (CSV)', 'p.csv', 'pass,type,speed\nroot,root,5\n');
    await page.getByText(/^Pass table not taken: .*no column "speed"/).waitFor();
    const csv =
      'pass,type,quantity,unit,basis,min,max,authority\r\nroot,root,travelSpeed,[in_i]/min,window,10,20,project rule\r\n';
    await give('Take the passes from a pass table (CSV)', 'p.csv', csv);
    await page.getByText(/^1 pass read from the file/).waitFor();
    await page.getByLabel('Who enters this').selectOption({ label: 'Ines Marrow' });
    await page.getByRole('button', { name: 'Save as rev. 4' }).click();
    await page.locator('h1', { hasText: 'imported rev. 4' }).waitFor();
    expect(fake.stored.at(-1)?.procedure.passes).toHaveLength(1);
    expect(await page.getByRole('link', { name: 'Save as file (JSON)' }).getAttribute('href')).toBe(
      '/api/v1/procedures/imported/4/procedure.json',
    );
    const download = page.waitForEvent('download');
    await page.getByRole('link', { name: 'Save pass table (CSV)' }).click();
    expect((await download).suggestedFilename()).toMatch(/csv$/);
  });
});
