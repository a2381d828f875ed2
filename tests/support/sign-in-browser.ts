import type { Page } from 'playwright-core';
import type { Person } from '#core/messages/api';
import type { GivenCode } from '#core/messages/api-account';
import { cookieOf, PASSPHRASE } from './accounts.ts';
import type { DashboardProgram } from './dashboard-program.ts';

/** Lets somebody in at a running dashboard, and gives a page their session before it is opened. */
export async function signInBrowser(
  page: Page,
  dashboard: DashboardProgram,
  name: string,
  roles: Person['roles'],
): Promise<Person> {
  const account = { person: null, name, signInName: 'somebody', roles };
  const { code, person } = await dashboard.post<GivenCode>('/api/v1/accounts', account);
  const answer = await fetch(`${dashboard.http}/api/v1/session/first-passphrase`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', 'x-girthlog': '1' },
    body: JSON.stringify({ name: 'somebody', code, passphrase: PASSPHRASE }),
  });
  const [cookie = '', value = ''] = cookieOf(answer).split('=');
  await page
    .context()
    .addCookies([{ name: cookie, value, url: dashboard.http, httpOnly: true, sameSite: 'Strict' }]);
  return person;
}
