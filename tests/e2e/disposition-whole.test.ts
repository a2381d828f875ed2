/** The real dashboard and its page: a joint is ruled on with a passphrase and its record checked, before and after tampering. */
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import type { GivenCode } from '#core/messages/api-account';
import type { JointState } from '#core/messages/api-journal';
import { noChromium } from '../support/browser.ts';
import { startDashboard } from '../support/dashboard-program.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { sealedDay } from '../support/sealed-store.ts';
import { ownContext } from '../support/shared-chromium.ts';
import { waitUntil } from '../support/wait-until.ts';
import { shownText } from '../support/web-page.ts';

describe.skipIf(noChromium())('a joint in the real dashboard', () => {
  it('is ruled on by who is signed in with a role, signed, checked, and found out when its file is touched', async () => {
    const dashboard = await startDashboard();
    const edge = await mqttClient(dashboard.mqtt);
    for (const record of sealedDay()) await edge.publish('girthlog/1/spread-1/rig-a/record', record);
    await waitUntil(async () => (await dashboard.counter('sealVerified')) === 5, 'the seals to be checked');
    const page = await (await ownContext()).newPage();
    page.setDefaultTimeout(60_000);

    const account = { person: null, name: 'Rhea Example', signInName: 'rhea', roles: ['reviewer'] };
    const { code } = await dashboard.post<GivenCode>('/api/v1/accounts', account);
    await page.goto(`${dashboard.http}/#/sign-in`);
    await page.getByRole('button', { name: 'I was given a code' }).click();
    await page.getByLabel('Sign-in name').fill('rhea');
    await page.getByLabel('Code').fill(code);
    await page.getByLabel('New passphrase').fill('seven brown kettles');
    await page.getByRole('button', { name: 'Set it and sign in' }).click();
    await page.getByText('Signed in as Rhea Example').first().waitFor();

    await page.goto(`${dashboard.http}/#/joints/J-0001`);
    await page.getByText('NO DISPOSITION').waitFor();
    await page.getByRole('link', { name: 'Enter a disposition' }).click();
    await page.getByRole('radio', { name: 'Hold for engineering' }).check();
    await page.getByLabel('Reason').fill('engineering is asked');
    await page.getByLabel('Your passphrase').fill('seven brown kettles');
    await page.getByRole('button', { name: 'Sign this disposition' }).click();
    await page.getByText('Disposition: Hold for engineering').first().waitFor();
    await page.getByText('Signed; the signature holds.').waitFor();
    const text = await shownText(page.locator('.disposition'));
    expect(text).toMatch(
      /Rhea Example[\s\S]*Signed; the signature holds\. Journal entry 1, key [0-9a-f]{16}/,
    );
    const { disposition } = await dashboard.json<JointState>('/api/v1/joints/J-0001/state');
    expect(disposition).toMatchObject({ decision: 'hold', reason: 'engineering is asked' });

    const check = page.getByRole('button', { name: 'Check the record of this joint' });
    await check.click();
    await page.getByText('EVERYTHING FITS').waitFor();
    const db = new Sqlite(join(dashboard.data, 'dashboard.sqlite3'));
    db.prepare('UPDATE chunks SET data = zeroblob(length(data)) WHERE seq = 8').run();
    db.close();
    await check.click();
    await page.getByText('DOES NOT FIT').waitFor();
    expect(await shownText(page.locator('.record-check'))).toContain(
      'Record 8 of spread-1/rig-a (stream 01234567): the samples shown are not those recorded.',
    );
  });
});
