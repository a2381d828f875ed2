/**
 * Accounts over HTTP: set-up, codes, sessions, delays. What is checked is what OWASP ASVS 5.0 asks for, from memory:
 * no default credentials (6.4.1), 8 to at least 64 characters and none of the common ones (6.2.1 to 6.2.9), slowed
 * guessing without a lockout (6.3.1), tokens of 128 bits and more, new at each sign-in and void afterwards (7.2.3,
 * 7.2.4, 7.4.1), cookies that no script and no other site gets (3.3), idle and absolute ends (7.3).
 */
import { describe, expect, it } from 'vitest';
import type { GivenCode, SessionList } from '#core/messages/api-account';
import { cookieOf, PASSPHRASE, SIGN_IN, startAccountBench, stateOf, tryIn } from '../support/accounts.ts';
import { problem } from '../support/http-answers.ts';

const MINUTE = 60_000;

describe('the first time', () => {
  it('nobody can sign in, and only the code on the console makes an administrator: once, and for 15 minutes', async () => {
    const bench = await startAccountBench();
    expect(await stateOf(bench)).toMatchObject({ state: 'setUp', person: null, rights: [] });
    for (const [name, passphrase] of [
      ['admin', 'admin'],
      ['administrator', 'password'],
      ['girthlog', 'girthlog'],
      ['root', ''],
    ] as const) {
      expect((await tryIn(bench, name, passphrase)).status).toBe(401);
      bench.pass(MINUTE);
    }
    const asked = { name: 'A. Keeper', signInName: 'keeper', roles: ['inspector'], passphrase: PASSPHRASE };
    const setUp = (code: string) => bench.ask('POST', '/api/v1/set-up', { ...asked, code });
    const { code: late } = bench.access.accounts.setUpCode('console');
    bench.pass(15 * MINUTE);
    expect(await problem(await setUp(late))).toMatchObject({ status: 401, code: 'codeWrong' });
    const { code: replaced } = bench.access.accounts.setUpCode('console');
    const { code } = bench.access.accounts.setUpCode('console');
    expect(await problem(await setUp(replaced))).toMatchObject({ code: 'codeWrong' });
    bench.pass(MINUTE);
    const done = await setUp(code);
    expect(done.status).toBe(201);
    expect(await done.json()).toMatchObject({
      state: 'signedIn',
      person: { roles: ['inspector', 'administrator'] },
    });
    bench.pass(MINUTE);
    expect(await problem(await setUp(code))).toMatchObject({ code: 'codeWrong' });
    expect(bench.store.audit.page({ limit: 10 }).items.map(({ what }) => what)).toContain('setUp');
  });

  it('of two who type the code at the same moment one is the administrator', async () => {
    const bench = await startAccountBench();
    const { code } = bench.access.accounts.setUpCode('console');
    const asked = { code, name: 'A. Keeper', roles: [], passphrase: PASSPHRASE };
    const both = await Promise.all(
      ['one', 'two'].map(signInName => bench.ask('POST', '/api/v1/set-up', { ...asked, signInName })),
    );
    expect(both.map(({ status }) => status).filter(status => status === 201)).toHaveLength(1);
  });
});

describe('a person', () => {
  it('is let in by a code of their own, which is good once and kept only as a hash', async () => {
    const bench = await startAccountBench();
    const keeper = await bench.setUp();
    const account = { person: null, name: 'B. Setter', signInName: 'B.Setter', roles: ['weldSetter'] };
    const opened = await bench.ask('POST', '/api/v1/accounts', account, keeper.headers);
    const { code, person, signInName } = (await opened.json()) as GivenCode;
    expect(signInName).toBe('b.setter');
    const first = (passphrase: string, name = 'b.setter') =>
      bench.ask('POST', `${SIGN_IN}/first-passphrase`, { name, code, passphrase });
    expect(await problem(await first('short 7'))).toMatchObject({ status: 400, code: 'bodyInvalid' });
    expect(await problem(await first('B. Setter 2026'))).toMatchObject({ code: 'passphraseCommon' });
    expect(await problem(await first(PASSPHRASE, 'keeper'))).toMatchObject({ code: 'codeWrong' });
    bench.pass(MINUTE);
    const done = await first('ñ 64 characters and more are allowed, spaces and all: '.padEnd(90, 'x'));
    expect(await done.json()).toMatchObject({ state: 'signedIn', person: { id: person.id } });
    bench.pass(MINUTE);
    expect(await problem(await first(PASSPHRASE))).toMatchObject({ code: 'codeWrong' });
    const again = await bench.ask('POST', '/api/v1/accounts', account, keeper.headers);
    expect(await problem(again)).toMatchObject({ status: 409, code: 'signInNameTaken' });
  });

  it('has a session in a cookie that no script and no other site gets, new at each sign-in', async () => {
    const bench = await startAccountBench();
    const { cookie } = await bench.enter('setter', ['weldSetter']);
    const first = await bench.ask('POST', SIGN_IN, { name: 'setter', passphrase: PASSPHRASE }, { cookie });
    const [set] = first.headers.getSetCookie();
    expect(set).toMatch(
      /^girthlog-[0-9a-f]{8}=[\w-]{43}; Path=\/; Max-Age=43200; HttpOnly; SameSite=Strict$/,
    );
    const fresh = cookieOf(first);
    expect(fresh).not.toBe(cookie);
    // What was there before in this browser is void.
    expect((await stateOf(bench, { cookie })).state).toBe('signedOut');
    expect((await stateOf(bench, { cookie: fresh })).state).toBe('signedIn');
    const file = JSON.stringify(bench.store.sessions.all());
    expect(file).not.toContain(fresh.split('=')[1]);
    expect((await bench.ask('DELETE', SIGN_IN, undefined, { cookie: fresh })).status).toBe(200);
    expect((await stateOf(bench, { cookie: fresh })).state).toBe('signedOut');
    expect((await bench.ask('GET', '/api/v1/rigs', undefined, { cookie: fresh })).status).toBe(401);
  });

  it('may only look after half an hour without entering, and nothing after twelve hours, whatever is read', async () => {
    const bench = await startAccountBench();
    const { headers, person } = await bench.enter('setter', ['weldSetter']);
    const name = { name: 'C. Welder', roles: ['weldSetter'] };
    const enter = () => bench.ask('POST', '/api/v1/people', name, headers);
    const look = () => bench.ask('GET', '/api/v1/rigs', undefined, headers);
    bench.pass(29 * MINUTE);
    expect((await look()).status).toBe(200);
    // Entering counts, looking does not.
    expect((await enter()).status).toBe(201);
    bench.pass(29 * MINUTE);
    expect((await look()).status).toBe(200);
    bench.pass(2 * MINUTE);
    expect((await look()).status).toBe(200);
    expect(await problem(await enter())).toMatchObject({ status: 401, code: 'signInAgain' });
    expect(await stateOf(bench, headers)).toMatchObject({
      state: 'idle',
      person: { id: person.id },
      idleInS: null,
    });
    // Somebody being there does not bring it back: their passphrase does.
    await bench.ask('POST', `${SIGN_IN}/here`, {}, headers);
    expect((await stateOf(bench, headers)).state).toBe('idle');
    bench.pass(11 * 60 * MINUTE);
    expect((await look()).status).toBe(401);
    expect(bench.store.sessions.all().filter(({ personId }) => personId === person.id)).toEqual([]);
  });

  it('enters under their own name, which need not be said, and under no other', async () => {
    const bench = await startAccountBench();
    const other = await bench.enter('other', ['weldSetter']);
    const { headers, person } = await bench.enter('setter', ['weldSetter']);
    const entry = {
      ...{ shiftDate: '2026-05-12', reason: null, corrects: null },
      body: { kind: 'jointOpened', joint: 'J-5' },
    };
    const enter = (more = {}) => bench.ask('POST', '/api/v1/entries', { ...entry, ...more }, headers);
    expect(await problem(await enter({ author: other.person.id }))).toMatchObject({
      status: 403,
      code: 'authorOther',
    });
    const answer = await enter();
    expect(await answer.json()).toMatchObject({ author: person.id });
    expect(bench.store.journal.about('joint J-5')).toHaveLength(1);
  });

  it('changes their passphrase by the one there is, and is then signed out everywhere else', async () => {
    const bench = await startAccountBench();
    const { headers } = await bench.enter('setter', ['weldSetter']);
    const elsewhere = { cookie: cookieOf(await tryIn(bench, 'setter', PASSPHRASE)) };
    const list = await bench.ask('GET', '/api/v1/account/sessions', undefined, headers);
    expect(((await list.json()) as SessionList).sessions.map(({ own }) => own)).toEqual([true, false]);
    const change = (present: string, passphrase: string) =>
      bench.ask('POST', '/api/v1/account/passphrase', { present, passphrase }, headers);
    expect(await problem(await change('not this one', 'a new long one here'))).toMatchObject({
      code: 'passphraseWrong',
    });
    bench.pass(MINUTE);
    expect((await change(PASSPHRASE, 'a new long one here')).status).toBe(201);
    expect((await stateOf(bench, elsewhere)).state).toBe('signedOut');
    expect((await stateOf(bench, headers)).state).toBe('signedIn');
    bench.pass(MINUTE);
    expect((await tryIn(bench, 'setter', PASSPHRASE)).status).toBe(401);
  });
});
