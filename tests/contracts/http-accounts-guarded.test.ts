/** What keeps others out over HTTP: slowed guessing, an administrator's hand, tokens, other web pages. ASVS as in http-accounts.test.ts. */
import { describe, expect, it } from 'vitest';
import type { AccountList, GivenCode } from '#core/messages/api-account';
import { ApiProblem } from '../../dashboard/server/api/problem.ts';
import { PASSPHRASE, SIGN_IN, startAccountBench, stateOf, tryIn } from '../support/accounts.ts';
import { problem } from '../support/http-answers.ts';
import { AS_PROGRAM } from '../support/program-token.ts';
import { readEvents } from '../support/sse-reader.ts';
import { waitUntil } from '../support/wait-until.ts';

const MINUTE = 60_000;

describe('guessing', () => {
  it('is slowed to a few a minute for an account, and its owner gets in from where they were before', async () => {
    const bench = await startAccountBench();
    const { person } = await bench.enter('setter', ['weldSetter']);
    // RFC 5737: an address of nobody.
    const elsewhere = { actor: bench.access.nobody, address: '198.51.100.7', device: '' };
    let looked = 0;
    for (let guess = 0; guess < 1000; guess++) {
      const tried = { name: 'setter', passphrase: `guess ${guess}` };
      const refusal = await bench.access.signIn
        .byPassphrase(tried, elsewhere)
        .catch((error: ApiProblem) => error);
      if (!(refusal instanceof ApiProblem)) throw new Error('a guess was right');
      if (refusal.code === 'signInWrong') looked++;
      else expect(refusal).toMatchObject({ status: 429, code: 'signInWait' });
      bench.pass(MINUTE / 1000);
    }
    expect(looked).toBeGreaterThan(3);
    expect(looked).toBeLessThanOrEqual(20);
    // Where they were before nobody waits for what is guessed elsewhere; and elsewhere for half a minute at most.
    expect((await tryIn(bench, 'setter', PASSPHRASE)).status).toBe(201);
    bench.pass(30_000);
    const right = await bench.access.signIn.byPassphrase(
      { name: 'setter', passphrase: PASSPHRASE },
      elsewhere,
    );
    expect(right.person.id).toBe(person.id);
    const failed = bench.store.audit.page({ limit: 100 }).items.filter(({ what }) => what === 'signInFailed');
    expect(failed).toHaveLength(looked);
    expect(new Set(failed.map(one => one.person))).toEqual(new Set([person.id]));
  });

  it('learns nothing of which names there are: the same answer, the same status, and the log keeps no typed name', async () => {
    const bench = await startAccountBench();
    await bench.enter('setter', ['weldSetter']);
    const known = await problem(await tryIn(bench, 'setter', 'not this one'));
    bench.pass(MINUTE);
    const unknown = await problem(await tryIn(bench, 'seven grey herons', 'not this one'));
    expect(unknown).toEqual(known);
    // A passphrase typed into the wrong field is not written down.
    expect(JSON.stringify(bench.store.audit.page({ limit: 100 }).items)).not.toContain('herons');
  });

  it('of one address over many names is slowed as well', async () => {
    const bench = await startAccountBench();
    await bench.setUp();
    const codes: (string | undefined)[] = [];
    for (let name = 0; name < 12; name++) {
      codes.push((await problem(await tryIn(bench, `name-${name}`, 'any passphrase'))).code);
    }
    expect(codes.slice(0, 6)).toEqual(Array(6).fill('signInWrong'));
    expect(codes.slice(6)).toEqual(Array(6).fill('signInWait'));
  });
});

describe('an administrator', () => {
  it('ends a session at once, its live stream with it', async () => {
    const bench = await startAccountBench();
    const keeper = await bench.setUp();
    const { headers, person } = await bench.enter('viewer', ['viewer']);
    const stream = await fetch(`${bench.url}/api/v1/stream`, { headers });
    const reader = stream.body!.getReader();
    expect((await reader.read()).done).toBe(false);
    const listed = await bench.ask('GET', '/api/v1/accounts', undefined, keeper.headers);
    const { accounts } = (await listed.json()) as AccountList;
    const session = accounts.find(one => one.person.id === person.id)!.sessions[0]!;
    expect(JSON.stringify(accounts)).not.toContain(headers.cookie.split('=')[1]);
    await bench.ask('DELETE', `/api/v1/sessions/${session.id}`, undefined, keeper.headers);
    let ended = false;
    const drain = async (): Promise<void> => {
      while (!(await reader.read()).done);
      ended = true;
    };
    void drain();
    await waitUntil(
      () => ended,
      () => 'the stream to end with its session',
    );
    expect((await bench.ask('GET', '/api/v1/rigs', undefined, headers)).status).toBe(401);
    expect((await fetch(`${bench.url}/api/v1/stream`, { headers })).status).toBe(401);
  });

  it('withdraws an account: signed out everywhere, in by no way, the name still in the records', async () => {
    const bench = await startAccountBench();
    const keeper = await bench.setUp();
    const { headers, person } = await bench.enter('setter', ['weldSetter']);
    const opened = {
      shiftDate: '2026-05-12',
      reason: null,
      corrects: null,
      body: { kind: 'jointOpened', joint: 'J-6' },
    };
    await bench.ask('POST', '/api/v1/entries', opened, headers);
    expect(
      (await bench.ask('DELETE', `/api/v1/accounts/${person.id}`, undefined, keeper.headers)).status,
    ).toBe(200);
    expect((await stateOf(bench, headers)).state).toBe('signedOut');
    expect((await tryIn(bench, 'setter', PASSPHRASE)).status).toBe(401);
    expect(bench.store.journal.about('joint J-6')[0]?.author).toBe(person.id);
    expect(bench.store.people().map(({ id }) => id)).toContain(person.id);
  });

  it('gives a code to who has forgotten theirs, changes roles, and is never the last to go', async () => {
    const bench = await startAccountBench();
    const keeper = await bench.setUp();
    const { headers, person } = await bench.enter('setter', ['weldSetter']);
    const roles = (of: string, list: string[]) =>
      bench.ask('POST', `/api/v1/accounts/${of}/roles`, { roles: list }, keeper.headers);
    expect((await roles(person.id, ['viewer'])).status).toBe(201);
    // From the next request on.
    const refused = await bench.ask('POST', '/api/v1/people', { name: 'X', roles: ['viewer'] }, headers);
    expect(await problem(refused)).toMatchObject({ status: 403, code: 'roleMissing' });
    const given = await bench.ask('POST', `/api/v1/accounts/${person.id}/code`, {}, keeper.headers);
    const { code } = (await given.json()) as GivenCode;
    expect((await stateOf(bench, headers)).state).toBe('signedOut');
    const first = { name: 'setter', code, passphrase: 'another long one for me' };
    expect((await bench.ask('POST', `${SIGN_IN}/first-passphrase`, first)).status).toBe(201);
    for (const refusedAnswer of [
      await roles(keeper.person.id, ['viewer']),
      await bench.ask('DELETE', `/api/v1/accounts/${keeper.person.id}`, undefined, keeper.headers),
    ]) {
      expect(await problem(refusedAnswer)).toMatchObject({ status: 409, code: 'lastAdministrator' });
    }
    // Nobody signs in as somebody else.
    const link = await bench.ask('POST', `/api/v1/accounts/${person.id}/link`, {}, keeper.headers);
    expect(await problem(link)).toMatchObject({ status: 403, code: 'noDemo' });
  });
});

describe('other ways to ask', () => {
  it('are by a program with its token, which does what its rights say', async () => {
    const bench = await startAccountBench();
    const named = { name: 'D. Crew', roles: ['weldSetter'] };
    expect((await bench.ask('POST', '/api/v1/people', named, AS_PROGRAM)).status).toBe(201);
    const wrong = { authorization: `Bearer ${AS_PROGRAM.authorization.slice(8)}` };
    expect(await problem(await bench.ask('POST', '/api/v1/people', named, wrong))).toMatchObject({
      status: 401,
      code: 'tokenUnknown',
    });
    const own = await bench.ask('GET', '/api/v1/account/sessions', undefined, AS_PROGRAM);
    expect(await problem(own)).toMatchObject({ status: 403, code: 'notAPerson' });
  });

  it('are not from another web page, nor by a form, nor without the header, nor by GET', async () => {
    const bench = await startAccountBench();
    const { headers } = await bench.enter('setter', ['weldSetter']);
    const named = { name: 'D. Crew', roles: ['weldSetter'] };
    const before = bench.store.people().length;
    const foreign = { ...headers, origin: 'http://elsewhere.example' };
    expect(await problem(await bench.ask('POST', '/api/v1/people', named, foreign))).toMatchObject({
      code: 'originForeign',
    });
    expect(await problem(await bench.ask('GET', '/api/v1/stream', undefined, foreign))).toMatchObject({
      code: 'originForeign',
    });
    const form = { ...headers, 'content-type': 'application/x-www-form-urlencoded' };
    expect((await bench.ask('POST', '/api/v1/people', named, form)).status).toBe(415);
    expect((await bench.ask('POST', '/api/v1/people', named, { ...headers, 'x-girthlog': '' })).status).toBe(
      403,
    );
    const signIn = { name: 'setter', passphrase: PASSPHRASE };
    expect((await bench.ask('POST', SIGN_IN, signIn, { origin: 'http://elsewhere.example' })).status).toBe(
      403,
    );
    expect(bench.store.people()).toHaveLength(before);
  });

  it('are open to anybody where the health of the dashboard is asked, and its figures on this machine', async () => {
    const bench = await startAccountBench();
    for (const path of ['/livez', '/readyz', '/openapi.json', '/asyncapi.json', '/metrics', '/']) {
      expect((await bench.ask('GET', path)).status, path).toBe(200);
    }
    expect((await bench.ask('GET', '/api/v1/session')).headers.get('cache-control')).toBe('no-store');
    await expect(readEvents(`${bench.url}/api/v1/stream`)).rejects.toThrow('401');
  });
});
