/**
 * Every route by every role and by nobody, on the real server. Which role may do what is written down here a second
 * time, by hand, from the description of the roles (docs/accounts.md): the table of the server is held against it.
 * What OWASP ASVS 5.0 asks for: access decided on the server, denied unless granted (8.2, 8.3; from memory).
 */
import { describe, expect, it } from 'vitest';
import { peopleRoles } from '#core/messages/account-rules';
import type { Person } from '#core/messages/api';
import type { Right } from '#core/messages/api-account';
import type { RouteSpec } from '../../dashboard/server/api/route.ts';
import { GUARDED_ROUTES, ROUTES } from '../../dashboard/server/api/route-table.ts';
import { type AccountBench, startAccountBench } from '../support/accounts.ts';

type Role = Person['roles'][number];

const CREW: readonly Role[] = ['weldSetter', 'inspector', 'reviewer', 'trainer', 'administrator'];
const ALL: readonly Role[] = ['viewer', ...CREW];
const BY_HAND: Readonly<Record<Right, readonly Role[]>> = {
  read: ALL,
  compute: ALL,
  export: CREW,
  enter: CREW,
  approveProcedure: ['inspector', 'reviewer', 'administrator'],
  answerAlarm: CREW,
  alarmService: ['inspector', 'administrator'],
  disposition: ['inspector', 'reviewer'],
  acceptSealKey: ['inspector', 'administrator'],
  resetPassphrase: ['administrator'],
  manageAccounts: ['administrator'],
  manageMachines: ['administrator'],
  readAudit: ['administrator'],
  ownAccount: ALL,
  train: ['trainer'],
  trainAlong: ALL,
};

const pathOf = ({ path }: Pick<RouteSpec, 'path'>): string => path.replaceAll(/\{\w+\}/g, 'x');

/** Whether it was let through: what comes then, 200 or a refusal of what was sent, is no matter here. */
async function outcome(
  bench: AccountBench,
  { method, path }: Pick<RouteSpec, 'method' | 'path'>,
  headers: Record<string, string>,
): Promise<'allowed' | 401 | 403> {
  const abort = new AbortController();
  const response = await fetch(bench.url + pathOf({ path }), {
    method: method.toUpperCase(),
    signal: abort.signal,
    headers: { 'content-type': 'application/json', 'x-girthlog': '1', ...headers },
    ...(method === 'post' ? { body: '{"no":"body"}' } : {}),
  });
  if (response.headers.get('content-type') === 'text/event-stream') {
    abort.abort();
    return 'allowed';
  }
  const answer = (await response.json().catch(() => null)) as { code?: string } | null;
  if (response.status === 401) return answer?.code === 'signInNeeded' ? 401 : 'allowed';
  return response.status === 403 && /^(roleMissing|trainerKeyMissing)$/.test(answer?.code ?? '')
    ? 403
    : 'allowed';
}

/** Signing out would end what the next routes are asked with. */
const asked = GUARDED_ROUTES.filter(
  ({ path, method }) => !(path === '/api/v1/session' && method === 'delete'),
);

describe('who may', () => {
  it('has every route in one table, each with what it takes', () => {
    expect(GUARDED_ROUTES.length).toBe(Object.keys(ROUTES).length + 1);
    const known = ['anyone', ...Object.keys(BY_HAND)];
    expect(GUARDED_ROUTES.filter(({ may }) => !known.includes(may))).toEqual([]);
    const open = GUARDED_ROUTES.filter(({ may }) => may === 'anyone').map(
      ({ method, path }) => `${method} ${path}`,
    );
    // Written by hand: what anybody may ask before they are known.
    expect(open.filter(route => !route.includes('/enrolments')).sort()).toEqual([
      'delete /api/v1/session',
      'get /api/v1/session',
      'post /api/v1/session',
      'post /api/v1/session/first-passphrase',
      'post /api/v1/session/here',
      'post /api/v1/session/link',
      'post /api/v1/set-up',
    ]);
  });

  it.each(peopleRoles)('is the same on the server as it is written, for a %s', async role => {
    const bench = await startAccountBench();
    const { headers } = await bench.enter('somebody', [role]);
    const wrong: string[] = [];
    for (const route of asked) {
      const expected = route.may === 'anyone' || BY_HAND[route.may].includes(role) ? 'allowed' : 403;
      const got = await outcome(bench, route, headers);
      if (got !== expected) wrong.push(`${route.method} ${route.path}: ${got}, not ${expected}`);
    }
    expect(wrong).toEqual([]);
  });

  it('is nothing without a session, but what anybody may', async () => {
    const bench = await startAccountBench();
    await bench.setUp();
    const wrong: string[] = [];
    for (const route of asked) {
      const got = await outcome(bench, route, {});
      // The trainer is told of the link instead.
      const refused = route.may === 'train' ? 403 : 401;
      const expected = route.may === 'anyone' ? 'allowed' : refused;
      if (got !== expected) wrong.push(`${route.method} ${route.path}: ${got}, not ${expected}`);
    }
    expect(wrong).toEqual([]);
  });

  it('is looking and nothing else where the dashboard is open for reading', async () => {
    const bench = await startAccountBench({ openReading: true });
    await bench.setUp();
    const wrong: string[] = [];
    for (const route of asked) {
      const refused = route.may === 'train' ? 403 : 401;
      const expected = route.may === 'anyone' || route.may === 'read' ? 'allowed' : refused;
      const got = await outcome(bench, route, {});
      if (got !== expected) wrong.push(`${route.method} ${route.path}: ${got}, not ${expected}`);
    }
    expect(wrong).toEqual([]);
  });

  it('denies what is not in the table, whoever asks', async () => {
    const bench = await startAccountBench();
    const { headers } = await bench.setUp();
    for (const path of [
      '/api/v1/nothing',
      '/api',
      '/api/v2/rigs',
      '/api/v1/rigs/',
      '/API/v1/rigs',
      '/api/v1//rigs',
    ]) {
      expect((await bench.ask('GET', path, undefined, headers)).status, path).toBe(404);
    }
    expect((await bench.ask('PUT', '/api/v1/people', {}, headers)).status).toBe(404);
    expect((await bench.ask('HEAD', '/api/v1/rigs', undefined, headers)).status).toBe(200);
    expect((await bench.ask('HEAD', '/api/v1/rigs')).status).toBe(401);
  });
});
