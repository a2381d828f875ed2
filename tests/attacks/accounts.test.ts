/** People who mean no good: at the door, between the door and the desk, and after they were shown out. */
import { request } from 'node:http';
import { describe, expect, it, vi } from 'vitest';
import { GuessDelay } from '../../dashboard/server/auth/guess-delay.ts';
import { hashPassphrase } from '../../dashboard/server/auth/passphrase-hash.ts';
import { Passphrases } from '../../dashboard/server/auth/passphrases.ts';
import {
  type AccountBench,
  PASSPHRASE,
  type SignedInPerson,
  startAccountBench,
} from '../support/accounts.ts';
import { problem } from '../support/http-answers.ts';
import { waitUntil } from '../support/wait-until.ts';

// RFC 5737: addresses of nobody.
const ELSEWHERE = '198.51.100.7';
const OTHER = 'four copper lanterns hum';

const asNobody = (bench: AccountBench, address: string) => ({
  actor: bench.access.nobody,
  address,
  device: '',
});

const showOut = (bench: AccountBench, { person }: SignedInPerson): void =>
  bench.access.accounts.withdraw(person.id, asNobody(bench, '127.0.0.1'));

interface SentSlowly {
  readonly finish: () => void;
  readonly answer: Promise<{ readonly status: number; readonly body: string }>;
}

/** A request as no browser would send it: its path as it stands, its body held back until `finish`. */
function sendSlowly(url: string, path: string, body: string, headers: Record<string, string>): SentSlowly {
  const { hostname, port } = new URL(url);
  const sent = request({
    host: hostname,
    port,
    path,
    method: 'POST',
    headers: {
      'content-type': 'application/json',
      'content-length': Buffer.byteLength(body),
      'x-girthlog': '1',
      ...headers,
    },
  });
  const answer = new Promise<{ status: number; body: string }>((resolve, reject) => {
    sent.on('error', reject);
    sent.on('response', response => {
      let text = '';
      response.setEncoding('utf8');
      response.on('data', (piece: string) => {
        text += piece;
      });
      response.on('end', () => resolve({ status: response.statusCode ?? 0, body: text }));
    });
  });
  sent.write(body.slice(0, 1));
  return { answer, finish: () => sent.end(body.slice(1)) };
}

describe('who was shown out', () => {
  it('enters nothing with a request that had begun before and is sent slowly', async () => {
    const bench = await startAccountBench();
    await bench.setUp();
    const setter = await bench.enter('setter', ['weldSetter']);
    const before = bench.store.people().length;
    const asked = vi.spyOn(bench.access.sessions, 'acted');
    const body = JSON.stringify({ name: 'D. Crew', roles: ['weldSetter'] });
    const slow = sendSlowly(bench.url, '/api/v1/people', body, setter.headers);
    await waitUntil(() => asked.mock.calls.length > 0, 'the request to be let in');
    showOut(bench, setter);
    slow.finish();
    const { status, body: text } = await slow.answer;
    expect([status, JSON.parse(text).code]).toEqual([401, 'signInNeeded']);
    expect(bench.store.people()).toHaveLength(before);
  });

  it('does not come in by a sign-in that was being looked at', async () => {
    const bench = await startAccountBench();
    await bench.setUp();
    const setter = await bench.enter('setter', ['weldSetter']);
    const signIn = bench.access.signIn.byPassphrase(
      { name: 'setter', passphrase: PASSPHRASE },
      asNobody(bench, ELSEWHERE),
    );
    showOut(bench, setter);
    await expect(signIn).rejects.toMatchObject({ status: 401, code: 'signInWrong' });
    expect(bench.access.sessions.of(setter.person.id)).toEqual([]);
  });

  it('nor by a code that was being used', async () => {
    const bench = await startAccountBench();
    const keeper = await bench.setUp();
    const setter = await bench.enter('setter', ['weldSetter']);
    const asker = asNobody(bench, '127.0.0.1');
    const { code } = bench.access.accounts.giveCode(setter.person.id, asker);
    const set = bench.access.passphrases.set.bind(bench.access.passphrases);
    vi.spyOn(bench.access.passphrases, 'set').mockImplementation(async (...given) => {
      await set(...given);
      showOut(bench, setter);
    });
    const used = bench.access.signIn.byCode({ name: 'setter', code, passphrase: OTHER }, asker);
    await expect(used).rejects.toMatchObject({ status: 401, code: 'codeWrong' });
    expect(bench.access.sessions.of(setter.person.id)).toEqual([]);
    expect(bench.access.sessions.of(keeper.person.id)).toHaveLength(1);
  });

  it('signs nothing whose passphrase was being looked at', async () => {
    const bench = await startAccountBench();
    await bench.setUp();
    const setter = await bench.enter('setter', ['weldSetter']);
    const kept = bench.store.passphrases.of(setter.person.id);
    vi.spyOn(bench.access.passphrases, 'prove').mockImplementation(async () => showOut(bench, setter));
    const body = { authorPassphrase: PASSPHRASE, passphrase: OTHER };
    const path = `/api/v1/people/${setter.person.id}/passphrase`;
    const refused = await problem(await bench.ask('POST', path, body, setter.headers));
    expect(refused).toMatchObject({ status: 401, code: 'signInNeeded' });
    expect(bench.store.passphrases.of(setter.person.id)).toBe(kept);
  });

  it('is out everywhere else once the passphrase is another, by whichever way it was set', async () => {
    const bench = await startAccountBench();
    await bench.setUp();
    const setter = await bench.enter('setter', ['weldSetter']);
    const thief = await bench.access.signIn.byPassphrase(
      { name: 'setter', passphrase: PASSPHRASE },
      asNobody(bench, ELSEWHERE),
    );
    const body = { authorPassphrase: PASSPHRASE, passphrase: OTHER };
    const path = `/api/v1/people/${setter.person.id}/passphrase`;
    expect((await bench.ask('POST', path, body, setter.headers)).status).toBe(201);
    expect(bench.access.sessions.find(thief.token)).toBeNull();
    expect((await bench.ask('GET', '/api/v1/rigs', undefined, setter.headers)).status).toBe(200);
  });
});

describe('a passphrase that is changed while it is looked at', () => {
  const cheap = { N: 16, r: 1, p: 1 };

  it.each([
    ['of today’s cost', cheap],
    ['of an earlier cost, which is then kept anew', { N: 8, r: 1, p: 1 }],
  ])('is the new one from then on: one %s', async (_which, earlier) => {
    const kept = new Map([['p', await hashPassphrase(PASSPHRASE, earlier)]]);
    const passphrases = new Passphrases({
      table: { of: id => kept.get(id) ?? null, add: (id, _at, hash) => void kept.set(id, hash) },
      now: () => new Date(0),
      monotonicMs: () => 0,
      cost: cheap,
    });
    const other = await hashPassphrase(OTHER, cheap);
    const looked = passphrases.check('p', PASSPHRASE);
    kept.set('p', other);
    expect(await looked).toBe(false);
    expect(kept.get('p')).toBe(other);
  });
});

describe('guessing at the door', () => {
  it('keeps nobody from signing who is inside', async () => {
    const bench = await startAccountBench();
    await bench.setUp();
    const inspector = await bench.enter('inspector', ['inspector']);
    for (let guess = 0; guess < 20; guess++) {
      const tried = { name: 'inspector', passphrase: `guess ${guess}` };
      await bench.access.signIn.byPassphrase(tried, asNobody(bench, ELSEWHERE)).catch(() => {});
      bench.pass(1000);
    }
    await expect(bench.access.passphrases.prove(inspector.person, PASSPHRASE)).resolves.toBeUndefined();
  });

  it('at codes keeps nobody from using theirs elsewhere', async () => {
    const bench = await startAccountBench();
    const guess = async (address: string): Promise<unknown> => {
      const tried = { name: 'A', signInName: 'a', roles: [], passphrase: OTHER, code: '0000-0000-0000' };
      return bench.access.signIn.setUp(tried, asNobody(bench, address)).catch(error => error.code);
    };
    const answers: unknown[] = [];
    for (let n = 0; n < 12; n++) answers.push(await guess(ELSEWHERE));
    expect(answers.slice(-1)).toEqual(['signInWait']);
    const keeper = await bench.setUp();
    expect(keeper.person.roles).toContain('administrator');
  });

  it('with ever new names does not make the delay forget', async () => {
    const delay = new GuessDelay(() => 0);
    const wrong = async (): Promise<boolean> => false;
    const victim = { key: 'person', free: 0 };
    const address = { key: 'address', free: 0 };
    expect(await delay.try([victim, address], wrong)).toBe('wrong');
    for (let n = 0; n < 11_000; n++) await delay.try([{ key: `name ${n}`, free: 0 }, address], wrong);
    expect(await delay.try([victim, { key: 'another address', free: 0 }], wrong)).toEqual({ waitS: 1 });
  });
});

describe('an address that two readers could read differently', () => {
  it('is guarded as the route that it is served as', async () => {
    const bench = await startAccountBench();
    await bench.setUp();
    const viewer = await bench.enter('viewer', ['viewer']);
    // "#" ends a path and "\" is "/" for one reader of URLs, and both are letters like others for another.
    const path = '/api/v1/training/sessions/a\\start#x/marks';
    const sent = sendSlowly(bench.url, path, '{}', viewer.headers);
    sent.finish();
    const { status, body } = await sent.answer;
    expect([status, JSON.parse(body).code]).toEqual([403, 'trainerKeyMissing']);
  });
});
