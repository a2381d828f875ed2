import { describe, expect, it } from 'vitest';
import { noChromium } from '../support/browser.ts';
import { PROCEDURE } from '../support/dashboard-fixtures.ts';
import { enterOpening, openJointPage } from '../support/joint-page.ts';
import { webPage } from '../support/web-page.ts';

describe.skipIf(noChromium())('the next pass of a rig', () => {
  const web = webPage();

  it('proposes the next pass, with what to know; one tap assigns it', async () => {
    const { page } = await openJointPage(web, '#/assign/spread-1/rig-4', joints => {
      enterOpening(joints);
      joints.proposal = {
        ...{ joint: 'J-0412', side: 'B', pass: 'hot', procedureId: PROCEDURE.id, procedureRevision: 1 },
        why: 'root is done; the WPS has hot next on this side.',
        findings: [
          {
            code: 'gasLotMissing',
            text: 'No gas lot.',
            action: 'Enter it.',
            link: '/joints/J-0412/enter/lots',
          },
        ],
      };
    });
    await page.evaluate(() =>
      localStorage.setItem('girthlog.person', JSON.stringify({ id: 'p-1', name: 'Ines Marrow' })),
    );
    await page.reload();
    await page.locator('.proposal', { hasText: 'Joint J-0412, side B, hot' }).waitFor();
    await page.getByText('No gas lot.', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Assign as proposed, by Ines Marrow' }).click();
    await page.locator('.board').waitFor();
    expect(web.fake().posted.at(-1)?.body).toMatchObject({
      ...{ rig: 'rig-4', author: 'p-1' },
      work: { joint: 'J-0412', side: 'B', pass: 'hot', outsideDiameterMm: 610, startDegrees: 0 },
    });
  });

  it('offers no second assignment of what the rig records under already', async () => {
    const { page } = await openJointPage(web, '#/assign/spread-1/rig-3', joints => {
      enterOpening(joints);
      joints.proposal = {
        ...{ joint: 'J-0412', side: 'A', pass: 'fill 2', procedureId: PROCEDURE.id, procedureRevision: 1 },
        why: 'It is being welded now.',
        findings: [],
      };
    });
    await page.getByText('This is what the rig records under already.').waitFor();
    expect(await page.getByRole('button', { name: /^Assign as proposed/ }).count()).toBe(0);
  });

  it('says beside the form what speaks against a choice', async () => {
    const { page } = await openJointPage(web, '#/assign/spread-1/rig-4', enterOpening);
    await page.getByRole('radio', { name: /example-610 rev\. 1/ }).check();
    await page.getByRole('radio', { name: 'fill 1' }).check();
    await page.getByRole('radio', { name: /^B/ }).check();
    await page.getByLabel('Joint number').fill('J-0412');
    await page.getByText('fill 1 before hot: the pass before it is missing on this side.').waitFor();
  });
});
