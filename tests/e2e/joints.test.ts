import { describe, expect, it } from 'vitest';
import { noChromium } from '../support/browser.ts';
import { PROCEDURE } from '../support/dashboard-fixtures.ts';
import { enterOpening, openJointPage } from '../support/joint-page.ts';
import { waitUntil } from '../support/wait-until.ts';
import { shownText, webPage } from '../support/web-page.ts';

const INES = { label: 'Ines Marrow' };

describe.skipIf(noChromium())('a joint before the arc', () => {
  const web = webPage();

  it('is opened with its particulars, in inches, and stands on its page', async () => {
    const { page, joints } = await openJointPage(web, '#/open-joint?joint=J-0500');
    await page.getByRole('radio', { name: 'inches' }).check();
    await page.getByLabel('Outside diameter, inches').fill('24');
    await page.getByLabel('Wall thickness, inches').fill('5/8');
    await page.getByRole('radio', { name: /example-610 rev\. 1/ }).check();
    await page.getByLabel('Pipe number').first().fill('P-88121');
    await page.getByLabel('Heat').first().fill('H-2201');
    await page.getByLabel('Who is entering this').selectOption(INES);
    await page.getByRole('button', { name: 'Open a new joint' }).click();
    await page.getByRole('heading', { level: 1, name: 'Joint J-0500' }).waitFor();
    expect(joints.entries.at(-1)?.body).toEqual({
      kind: 'jointOpened',
      joint: 'J-0500',
      upstreamPipe: { number: 'P-88121', heat: 'H-2201' },
      outsideDiameterMm: 609.6,
      wallThicknessMm: 15.875,
      procedureId: PROCEDURE.id,
      procedureRevision: 1,
    });
    await page.getByText('P-88121, heat H-2201').first().waitFor();
  });

  it('catches a number used again while it is typed', async () => {
    const { page, joints } = await openJointPage(web, '#/open-joint', enterOpening);
    await page.getByLabel('Joint number').fill('J-0412');
    await page.getByText('This number is in use').waitFor();
    expect(await shownText(page.locator('.message.out'))).toContain('was opened 12 May');
    await page.getByLabel('Who is entering this').selectOption(INES);
    await page.getByRole('button', { name: 'Open a new joint' }).click();
    await page.getByText('A number is not used twice.').waitFor();
    expect(joints.entries).toHaveLength(1);
  });

  it('is found by typing, with what is done and what is missing', async () => {
    const { page } = await openJointPage(web, '#/joints', joints => {
      enterOpening(joints);
      joints.enter({ kind: 'hold', joint: 'J-0412', on: true }, { reason: 'ruling' });
      joints.enter({ kind: 'jointOpened', joint: 'TI-7' });
    });
    await page.getByText('3 of 12 passes').waitFor();
    const row = page.locator('.joint-row', { hasText: 'J-0412' });
    expect(await shownText(row)).toMatch(
      /ON HOLD[\s\S]*next: hot[\s\S]*things missing: root has no visual release/,
    );
    await page.getByLabel('Find by typing').fill('ti-');
    await waitUntil(async () => (await page.locator('.joint-row').count()) === 1, 'one row');
    expect(page.url()).toContain('find=ti-');
    await page.getByRole('link', { name: 'TI-7' }).click();
    await page.getByRole('heading', { level: 1, name: 'Joint TI-7' }).waitFor();
  });

  it('says what is missing, and leads to the form that mends it', async () => {
    const { page, joints } = await openJointPage(web, '#/joints/J-0412', enterOpening);
    await page.getByRole('link', { name: /^Look at the leads and confirm the polarity/ }).click();
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText('Choose the polarity as found.').waitFor();
    await page.getByRole('radio', { name: 'Electrode positive' }).check();
    await page.getByLabel('Who is entering this').selectOption(INES);
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.locator('.layer').first().waitFor();
    expect(joints.entries.at(-1)?.body).toEqual({
      kind: 'polarityConfirmed',
      joint: 'J-0412',
      polarity: 'electrodePositive',
    });
    expect(await page.getByText('The polarity is not confirmed').count()).toBe(0);
  });

  it('takes a temperature in °F at one place, and shows it in the unit of the device', async () => {
    const { page, joints } = await openJointPage(
      web,
      '#/joints/J-0412/enter/temperature?pass=hot',
      enterOpening,
    );
    await page.getByRole('radio', { name: '°F' }).check();
    await page.getByLabel('Temperature, °F').fill('257');
    await page.getByRole('radio', { name: 'At one place' }).check();
    await page.getByLabel('O’clock, looking downstream').fill('4:30');
    await page.getByLabel('Who is entering this').selectOption(INES);
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.locator('.readings').waitFor();
    expect(joints.entries.at(-1)?.body).toMatchObject({
      kind: 'temperatureReading',
      quantity: 'interpassTemperature',
      pass: 'hot',
      valueCel: 125,
      clock: 4.5,
    });
    expect(await shownText(page.locator('.readings'))).toContain('125 °C');
  });

  it('warns of an operator without qualification before the arc, and takes the qualification', async () => {
    const { page, joints } = await openJointPage(web, '#/joints/J-0412/enter/crew', enterOpening);
    await page.getByLabel('Operator, side A').selectOption({ label: 'Tobi Lund' });
    await page.getByText('Tobi Lund: no qualification is entered.').waitFor();
    await page.getByRole('link', { name: 'Enter a qualification of Tobi Lund' }).click();
    await page.getByLabel('Process (ISO 4063 number)').fill('135');
    await page.getByLabel('Range of qualification').fill('all positions');
    await page.getByLabel('Good until').fill('2099-01-31');
    await page.getByLabel('Who is entering this').selectOption(INES);
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.locator('.layer').first().waitFor();
    await page.goto(`${web.fake().url}/#/joints/J-0412/enter/crew`);
    await page.getByLabel('Operator, side A').waitFor();
    // What was chosen before the detour is still chosen.
    expect(await page.getByLabel('Operator, side A').inputValue()).toBe('p-2');
    await waitUntil(
      async () => (await page.getByText('no qualification is entered').count()) === 0,
      'no warning',
    );
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.locator('.layer').first().waitFor();
    expect(joints.entries.at(-1)?.body).toMatchObject({ kind: 'crew', operatorA: 'p-2', operatorB: null });
  });

  it('is put on hold with a reason and shown so on the live tile', async () => {
    const { page, joints } = await openJointPage(web, '#/joints/J-0412', enterOpening);
    await page.getByRole('link', { name: 'Put on hold' }).click();
    await page.getByLabel('Who is entering this').selectOption(INES);
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText('Enter the reason.').waitFor();
    await page.getByLabel('Reason').fill('Hi-lo at 5, ruling asked for');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.locator('.hold-banner', { hasText: 'ON HOLD Hi-lo at 5, ruling asked for' }).waitFor();
    expect(joints.entries.at(-1)).toMatchObject({
      reason: 'Hi-lo at 5, ruling asked for',
      body: { on: true },
    });
    await page.getByRole('link', { name: 'Live', exact: true }).click();
    await page.locator('.tile[data-key="spread-1/rig-3"] .hold-mark').waitFor();
  });

  it('corrects an entry by a new one; the first stays, struck through', async () => {
    const { page, joints } = await openJointPage(web, '#/joints/J-0412', fakes => {
      enterOpening(fakes);
      fakes.enter({ kind: 'consumables', joint: 'J-0412', wireLot: 'W-1' });
    });
    await page.getByRole('link', { name: /^Correct Wire and gas lots · wire lot W-1/ }).click();
    await page.getByText('Entered before: Wire and gas lots · wire lot W-1').waitFor();
    await page.getByLabel('Wire lot').fill('W-7');
    await page.getByLabel('Why this is corrected').fill('misread the label');
    await page.getByLabel('Who is entering this').selectOption(INES);
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.locator('s', { hasText: 'wire lot W-1' }).waitFor();
    expect(joints.entries.at(-1)).toMatchObject({ corrects: 'e-2', reason: 'misread the label' });
    await page.getByText('corrected by Ines Marrow').waitFor();
    await page.locator('.joint-facts dd', { hasText: 'W-7' }).waitFor();
  });

  it('says that the server cannot be reached and keeps what was typed, over a reload too', async () => {
    const { page, joints } = await openJointPage(web, '#/joints/J-0412/enter/lots', enterOpening);
    await page.getByLabel('Wire lot').fill('W-5512');
    await page.getByLabel('Who is entering this').selectOption(INES);
    joints.offline = true;
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByRole('alert').getByText('the dashboard server cannot be reached').waitFor();
    joints.offline = false;
    await page.reload();
    await page.getByLabel('Wire lot').waitFor();
    expect(await page.getByLabel('Wire lot').inputValue()).toBe('W-5512');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.locator('.joint-facts dd', { hasText: 'W-5512' }).waitFor();
  });

  it('follows what others enter, by itself', async () => {
    const { page, joints } = await openJointPage(web, '#/joints/J-0412', enterOpening);
    await page.locator('.layer').first().waitFor();
    const entry = joints.enter(
      { kind: 'hold', joint: 'J-0412', on: true },
      { reason: 'seen from the truck' },
    );
    web.fake().send('entry', entry);
    await page.locator('.hold-banner', { hasText: 'seen from the truck' }).waitFor();
  });

  it('shows what people typed as text, never as markup', async () => {
    const evil = '<img src=x onerror="document.title=1">';
    const { page } = await openJointPage(web, `#/joints/${encodeURIComponent(evil)}`, joints => {
      joints.enter({ kind: 'jointOpened', joint: evil, weather: evil, station: evil });
      joints.enter({ kind: 'hold', joint: evil, on: true }, { reason: evil });
    });
    await page.locator('.hold-banner').waitFor();
    expect(await shownText(page.locator('h1'))).toContain(evil);
    expect(await page.locator('main img').count()).toBe(0);
  });
});
