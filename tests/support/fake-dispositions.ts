/** A stand-in for the server's routes of dispositions, in front of the page and before those of fake-joints. */
import type { Page, Route } from 'playwright-core';
import { newDispositionSchema, newPassphraseSchema } from '#core/messages/api-disposition';
import type { VerifyReport } from '#core/messages/api-verify';
import { PEOPLE, START_UTC_MS } from './dashboard-fixtures.ts';
import type { FakeJoints } from './fake-joints.ts';

export interface FakeDispositions {
  /** Passphrases by person; whoever is not in it has set none. */
  readonly passphrases: Map<string, string>;
  report: VerifyReport;
}

export const FITS: VerifyReport = {
  schema: 'girthlog.verify/1',
  at: new Date(START_UTC_MS).toISOString(),
  software: '0.1.0',
  scope: 'joint',
  joint: 'J-0412',
  fits: true,
  problems: [],
  checked: { streams: 1, records: 420, passes: 3, seals: 3, entries: 5 },
  notes: ['Pass s:1: samples of 20 records pruned, root intact.'],
  keys: [{ of: 'dashboard', fingerprint: 'ab'.repeat(32) }],
};

export async function fakeDispositions(page: Page, joints: FakeJoints): Promise<FakeDispositions> {
  const fake: FakeDispositions = { passphrases: new Map(), report: FITS };
  const people = PEOPLE.map(person => ({ ...person }));

  const refuse = (route: Route, status: number, code: string, detail: string) =>
    route.fulfill({
      status,
      contentType: 'application/problem+json',
      body: JSON.stringify({ type: 'about:blank', title: 'Refused', status, detail, code }),
    });

  await page.route(/\/api\/v1\/people(\?|$)/, route => {
    if (route.request().method() === 'POST') {
      const person = {
        id: `p-${people.length + 1}`,
        ...(route.request().postDataJSON() as { name: string; roles: 'inspector'[] }),
      };
      people.push(person);
      return route.fulfill({ status: 201, json: person });
    }
    const all = people.map(person => ({ ...person, hasPassphrase: fake.passphrases.has(person.id) }));
    return route.fulfill({ json: { people: all, verified: false } });
  });

  await page.route(/\/api\/v1\/people\/[^/]+\/passphrase$/, route => {
    const person = new URL(route.request().url()).pathname.split('/').at(-2)!;
    const read = newPassphraseSchema.safeParse(route.request().postDataJSON());
    if (!read.success) return refuse(route, 400, 'bodyInvalid', read.error.message);
    fake.passphrases.set(person, read.data.passphrase);
    return route.fulfill({ status: 201, json: joints.enter({ kind: 'passphraseSet', person }) });
  });

  await page.route(/\/api\/v1\/joints\/[^/]+\/dispositions$/, route => {
    if (route.request().method() === 'GET') return route.fallback();
    const joint = decodeURIComponent(new URL(route.request().url()).pathname.split('/').at(-2)!);
    const read = newDispositionSchema.safeParse(route.request().postDataJSON());
    if (!read.success) return refuse(route, 400, 'bodyInvalid', read.error.message);
    const { author, passphrase, decision, ...rest } = read.data;
    if (fake.passphrases.get(author) !== passphrase) {
      return refuse(
        route,
        403,
        'passphraseWrong',
        'That is not the passphrase of Tobi Lund: nothing was signed.',
      );
    }
    return route.fulfill({
      status: 201,
      json: joints.enter({ kind: 'disposition', joint, decision }, { author, ...rest }),
    });
  });

  await page.route(/\/api\/v1\/(joints\/[^/]+\/)?verification$/, route =>
    route.fulfill({ json: fake.report }),
  );
  await page.route(/\/api\/v1\/keys$/, route => {
    const key = { fingerprint: 'ab'.repeat(32), publicKey: 'cd'.repeat(32) };
    return route.fulfill({ json: { dashboard: { ...key, publicKeyPem: '' }, used: [] } });
  });
  return fake;
}
