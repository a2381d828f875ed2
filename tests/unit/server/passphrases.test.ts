import { scryptSync } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import type { Person } from '#core/messages/api';
import type { ApiProblem } from '../../../dashboard/server/api/problem.ts';
import { hashPassphrase, isPassphrase, SCRYPT_COST } from '../../../dashboard/server/auth/passphrase-hash.ts';
import { Passphrases } from '../../../dashboard/server/auth/passphrases.ts';
import { mayDo } from '../../../dashboard/server/auth/who-may.ts';

const CHEAP = { N: 16, r: 1, p: 1 };

describe('a passphrase as it is kept', () => {
  it('is scrypt with a salt of its own: RFC 7914 section 12, second vector, is accepted', async () => {
    // P "password", S "NaCl", N 1024, r 8, p 16; the value from memory, checked here against node:crypto.
    const published =
      'fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830e77376634b3731622eaf30d92e22a3886ff109279d9830dac727afb94a83ee6d8360cbdfa2cc0640';
    expect(scryptSync('password', 'NaCl', 64, { N: 1024, r: 8, p: 16 }).toString('hex')).toBe(published);
    const base64url = (bytes: Buffer): string => bytes.toString('base64url');
    const kept = `scrypt$1024$8$16$${base64url(Buffer.from('NaCl'))}$${base64url(Buffer.from(published, 'hex'))}`;
    expect(await isPassphrase('password', kept)).toBe(true);
    expect(await isPassphrase('passwore', kept)).toBe(false);
  });

  it('carries its cost, and no two hashes of one passphrase are alike', async () => {
    const [one, other] = await Promise.all([
      hashPassphrase('ein langer Satz', CHEAP),
      hashPassphrase('ein langer Satz', CHEAP),
    ]);
    expect(one).toMatch(/^scrypt\$16\$1\$1\$[\w-]{22}\$[\w-]{43}$/);
    expect(one).not.toBe(other);
    for (const kept of [one!, other!]) expect(await isPassphrase('ein langer Satz', kept)).toBe(true);
    expect(await isPassphrase('ein langer Satz ', one!)).toBe(false);
  });

  it('is the same typed in another normal form', async () => {
    // U+00E9 and e + U+0301: canonically equivalent, Unicode annex 15.
    expect(await isPassphrase('re\u0301paration', await hashPassphrase('r\u00e9paration', CHEAP))).toBe(true);
  });

  it('costs 32 MB at least', () => {
    expect(128 * SCRYPT_COST.N * SCRYPT_COST.r).toBeGreaterThanOrEqual(32 * 2 ** 20);
  });

  it('is no passphrase where what is kept is not one of ours', async () => {
    for (const kept of ['', 'plain', 'bcrypt$1$2$3$4$5']) expect(await isPassphrase('', kept)).toBe(false);
  });
});

const PERSON: Person = { id: 'p-1', name: 'A. Example', roles: ['inspector'] };
const OTHER: Person = { id: 'p-2', name: 'B. Example', roles: ['reviewer'] };

async function withClock() {
  const kept = new Map<string, string>();
  let nowMs = 0;
  const passphrases = new Passphrases({
    table: { of: id => kept.get(id) ?? null, add: (id, _at, hash) => void kept.set(id, hash) },
    now: () => new Date(0),
    monotonicMs: () => nowMs,
    cost: CHEAP,
  });
  for (const { id } of [PERSON, OTHER]) await passphrases.set(id, `the words of ${id}`);
  const attempt = async (person: Person, text: string): Promise<string> =>
    passphrases.prove(person, text).then(
      () => 'proved',
      (error: unknown) => (error as ApiProblem).code,
    );
  return {
    passphrases,
    attempt,
    pass: (ms: number): void => {
      nowMs += ms;
    },
  };
}

describe('proving who one is', () => {
  it("is done with one's own words", async () => {
    const { attempt } = await withClock();
    expect(await attempt(PERSON, 'the words of p-1')).toBe('proved');
    expect(await attempt(OTHER, 'the words of p-1')).toBe('passphraseWrong');
    expect(await attempt({ ...PERSON, id: 'p-3' }, 'anything at all')).toBe('passphraseNotSet');
  });

  it('waits after a wrong one, longer each time, for that person alone', async () => {
    const { attempt, pass } = await withClock();
    for (const waitMs of [1000, 2000, 4000, 8000, 16_000, 30_000, 30_000]) {
      expect(await attempt(PERSON, 'wrong')).toBe('passphraseWrong');
      pass(waitMs - 1);
      expect(await attempt(PERSON, 'the words of p-1')).toBe('passphraseWait');
      expect(await attempt(OTHER, 'the words of p-2')).toBe('proved');
      pass(1);
    }
    // Nobody is locked out for good, and a right one begins anew.
    expect(await attempt(PERSON, 'the words of p-1')).toBe('proved');
    expect(await attempt(PERSON, 'wrong')).toBe('passphraseWrong');
    pass(1000);
    expect(await attempt(PERSON, 'the words of p-1')).toBe('proved');
  });

  it('looks at one guess at a time', async () => {
    const { attempt } = await withClock();
    const answers = await Promise.all(Array.from({ length: 20 }, () => attempt(PERSON, 'wrong')));
    expect(answers.filter(answer => answer === 'passphraseWrong')).toHaveLength(1);
  });

  it('lets through at most 20 guesses in any minute of guessing', async () => {
    const { attempt, pass } = await withClock();
    let looked = 0;
    for (let second = 0; second < 600; second += 0.5) {
      if ((await attempt(PERSON, `guess ${second}`)) === 'passphraseWrong') looked++;
      pass(500);
    }
    expect(looked).toBeGreaterThan(10);
    expect(looked).toBeLessThanOrEqual(25);
  });
});

it('dispositions are for inspectors and reviewers, resets for administrators', () => {
  const as = (role: Person['roles'][number]): Person => ({ ...PERSON, roles: [role] });
  const roles = ['viewer', 'weldSetter', 'inspector', 'reviewer', 'trainer', 'administrator'] as const;
  expect(roles.filter(role => mayDo(as(role), 'disposition'))).toEqual(['inspector', 'reviewer']);
  expect(roles.filter(role => mayDo(as(role), 'resetPassphrase'))).toEqual(['administrator']);
});

describe('a passphrase that was kept when less was asked', () => {
  it('is kept anew at the present cost when its person shows it, and only then', async () => {
    const kept = [await hashPassphrase('seven grey herons', CHEAP)];
    const table = {
      of: () => kept.at(-1)!,
      add: (_id: string, _at: string, hash: string) => void kept.push(hash),
    };
    const cost = { N: 32, r: 1, p: 1 };
    const passphrases = new Passphrases({ table, now: () => new Date(0), monotonicMs: () => 0, cost });
    expect(await passphrases.check('p-1', 'another one')).toBe(false);
    expect(kept).toHaveLength(1);
    expect(await passphrases.check('p-1', 'seven grey herons')).toBe(true);
    expect(kept.at(-1)).toMatch(/^scrypt\$32\$1\$1\$/);
    expect(await passphrases.check('p-1', 'seven grey herons')).toBe(true);
    expect(kept).toHaveLength(2);
  });
});
