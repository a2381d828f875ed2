import { describe, expect, it } from 'vitest';
import { noChromium } from '../support/browser.ts';
import { enterOpening, openJointPage } from '../support/joint-page.ts';
import { shownText, webPage } from '../support/web-page.ts';

const INES = { label: 'Ines Marrow' };

describe.skipIf(noChromium())('passes of a joint', () => {
  const web = webPage();

  it('is made whole with a pass no rig has seen, readings by hand', async () => {
    const { page, joints } = await openJointPage(web, '#/joints/J-0412', enterOpening);
    await page.getByRole('link', { name: 'Log: not seen by a rig hot, Side B' }).click();
    await page.getByLabel('Welded by').fill('stamp 12');
    await page.getByLabel('How').fill('hand repair');
    await page.getByLabel('Current, A').fill('120');
    await page.getByLabel('Who is entering this').selectOption(INES);
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page
      .locator('.side-box[data-state="loggedElsewhere"]', { hasText: 'stamp 12, hand repair' })
      .waitFor();
    expect(joints.entries.at(-1)?.body).toMatchObject({
      ...{ side: 'B', pass: 'hot', readings: { weldingCurrentA: 120 } },
    });
    await page.getByText('4 of 12 passes').waitFor();
  });

  it('moves a pass to another joint with a reason; both pages show it and both verdicts', async () => {
    const { page, joints } = await openJointPage(web, '#/joints/J-0412', enterOpening);
    await page.locator('.layer', { hasText: 'hot' }).getByRole('link', { name: /^Move/ }).click();
    await page.getByText('Recorded as: joint J-0412, side A, hot').waitFor();
    await page.getByLabel('Joint number').fill('J-0413');
    await page.getByLabel('Reason').fill('Number typed wrong');
    await page.getByLabel('Who is entering this').selectOption(INES);
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByRole('heading', { level: 1, name: 'Joint J-0413' }).waitFor();
    await page.getByText(/Moved here from joint J-0412, side A, hot by Ines Marrow/).waitFor();
    expect(joints.entries.at(-1)).toMatchObject({
      reason: 'Number typed wrong',
      body: { kind: 'passMoved', passId: 's:3', joint: 'J-0413', side: 'A', pass: 'hot' },
    });
    await page.getByText('Verdicts before and after the move').click();
    await page.locator('.compare tbody tr').first().waitFor();
    expect(await shownText(page.locator('.compare tbody'))).toMatch(/in, 236 A[\s\S]*OUT, 236 A/);
    await page.goto(`${web.fake().url}/#/joints/J-0412`);
    await page.locator('.moved-away', { hasText: 'hot now belongs to joint J-0413, side A, hot' }).waitFor();
  });

  it('gives a pass recorded without work its joint afterwards', async () => {
    const { page, joints } = await openJointPage(web, '#/joints/J-0412', enterOpening);
    await page.getByRole('link', { name: /^It belongs to this joint/ }).click();
    await page.getByText('Recorded as: no joint').waitFor();
    await page.getByRole('radio', { name: /^B/ }).check();
    await page.getByRole('radio', { name: /example-610 rev\. 1/ }).check();
    await page.getByRole('radio', { name: 'hot' }).check();
    await page.getByLabel('Reason').fill('Assigned too late');
    await page.getByLabel('Who is entering this').selectOption(INES);
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText(/Moved here from no joint/).waitFor();
    expect(joints.entries.at(-1)?.body).toMatchObject({
      passId: 's:4',
      joint: 'J-0412',
      side: 'B',
      pass: 'hot',
    });
    expect(await page.locator('.unassigned').count()).toBe(0);
  });
});
