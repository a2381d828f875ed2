/** Dispositions over HTTP: who may, with what, and what is on the record afterwards. */
import { describe, expect, it } from 'vitest';
import type { NewDisposition } from '#core/messages/api-disposition';
import { newPassphraseSchema } from '#core/messages/api-disposition';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { answer, problem } from '../support/http-answers.ts';
import { journal, lots } from '../support/http-journal.ts';

const WORDS = 'seven brown kettles';

async function withPeople() {
  const dashboard = await journal();
  const { post, get } = dashboard;
  const person = async (name: string, role: string) =>
    (await answer(ROUTES.addPerson, await post('/api/v1/people', { name, roles: [role] }))).id;
  const reviewer = await person('R. Example', 'reviewer');
  const administrator = await person('D. Example', 'administrator');
  const setPassphrase = (id: string, passphrase: string, by: { author?: string; words?: string } = {}) =>
    post(`/api/v1/people/${id}/passphrase`, {
      author: by.author ?? id,
      authorPassphrase: by.words ?? null,
      passphrase,
    });
  const rule = (parts: Partial<NewDisposition> = {}, joint = 'J-0001') =>
    post(`/api/v1/joints/${joint}/dispositions`, {
      author: reviewer,
      passphrase: WORDS,
      shiftDate: '2026-05-12',
      decision: 'repair',
      reason: 'lack of fusion at 4 o’clock, by the scan report',
      corrects: null,
      ...parts,
    });
  const code = async (response: Response): Promise<string> => {
    const { status, code: name, detail } = await problem(response);
    expect(detail).toMatch(/^[A-Z][^\n]{10,}\.$/);
    return `${status} ${name}`;
  };
  return {
    ...dashboard,
    ...{ reviewer, administrator, setPassphrase, rule, code },
    listed: async (joint = 'J-0001') =>
      (await answer(ROUTES.dispositions, await get(`/api/v1/joints/${joint}/dispositions`))).dispositions,
    state: async () => await answer(ROUTES.jointState, await get('/api/v1/joints/J-0001/state')),
  };
}

describe('a disposition', () => {
  it('is none until a person rules, whatever the record holds', async () => {
    const { state, listed } = await withPeople();
    expect((await state()).disposition).toBeNull();
    expect(await listed()).toEqual([]);
  });

  it('is signed by a person with a reason, stands in the journal and on the joint', async () => {
    const { rule, setPassphrase, reviewer, state, listed, read, get } = await withPeople();
    const set = await answer(ROUTES.setPassphrase, await setPassphrase(reviewer, WORDS));
    expect(set).toMatchObject({ author: reviewer, body: { kind: 'passphraseSet', person: reviewer } });
    const entry = await answer(ROUTES.addDisposition, await rule());
    expect(entry.body).toEqual({ kind: 'disposition', joint: 'J-0001', decision: 'repair' });
    expect((await state()).disposition).toMatchObject({
      decision: 'repair',
      author: reviewer,
      entryId: entry.id,
    });
    const keys = await answer(ROUTES.keys, await get('/api/v1/keys'));
    expect(keys.used.map(({ fingerprint }) => fingerprint)).toEqual([keys.dashboard.fingerprint]);
    expect(await listed()).toMatchObject([
      { entry, state: 'holds', signed: { document: { entry, key: keys.dashboard.fingerprint } } },
    ]);
    // Not a trace of the words, wherever one looks.
    for (const path of [
      '/api/v1/entries',
      '/api/v1/people',
      '/api/v1/system',
      '/api/v1/joints/J-0001/dispositions',
    ]) {
      expect(await (await get(path)).text()).not.toMatch(/kettles|scrypt/);
    }
    const people = await answer(ROUTES.people, await get('/api/v1/people'));
    expect(people.people.filter(one => one.hasPassphrase).map(({ id }) => id)).toEqual([reviewer]);
    expect((await read('/api/v1/entries?kind=disposition')).entries).toEqual([entry]);
  });

  it('is put right by another; the latest that stands counts, and both are shown', async () => {
    const { rule, code, setPassphrase, reviewer, state, listed } = await withPeople();
    await setPassphrase(reviewer, WORDS);
    const wrong = await answer(
      ROUTES.addDisposition,
      await rule({ decision: 'cutOut', reason: 'typed wrong' }),
    );
    const corrects = wrong.id;
    const right = await answer(ROUTES.addDisposition, await rule({ corrects, reason: 'not a cut-out' }));
    expect(await code(await rule({ corrects }))).toBe('409 entryCorrected');
    expect((await state()).disposition).toMatchObject({ decision: 'repair', entryId: right.id });
    const later = await answer(
      ROUTES.addDisposition,
      await rule({ decision: 'accept', reason: 'repair scanned' }),
    );
    expect((await state()).disposition).toMatchObject({ decision: 'accept', entryId: later.id });
    expect((await listed()).map(({ entry }) => entry.id)).toEqual([wrong.id, right.id, later.id]);
  });

  it('is refused with one sentence, and nothing is stored', async () => {
    const { rule, code, setPassphrase, reviewer, author, listed, send, counts } = await withPeople();
    expect(await code(await rule())).toBe('403 passphraseNotSet');
    await setPassphrase(reviewer, WORDS);
    await setPassphrase(author, WORDS);
    expect(await code(await rule({ author }))).toBe('403 roleMissing');
    expect(await code(await rule({ author: 'nobody' }))).toBe('422 authorUnknown');
    expect(await code(await rule({}, 'J-0999'))).toBe('404 jointUnknown');
    expect(await code(await rule({ reason: ' ' }))).toBe('400 bodyInvalid');
    expect(await code(await rule({ reason: 'half a character \ud83d' }))).toBe('400 bodyInvalid');
    expect(await code(await rule({ decision: 'fine' as 'accept' }))).toBe('400 bodyInvalid');
    expect(await code(await rule({ corrects: 'nothing' }))).toBe('422 entryUnknown');
    expect(await code(await rule({ shiftDate: '2999-01-01' }))).toBe('422 shiftDateAhead');
    expect(await code(await rule({ passphrase: 'seven brown kettle' }))).toBe('403 passphraseWrong');
    expect(await code(await rule())).toBe('429 passphraseWait');
    const plain = { kind: 'disposition', joint: 'J-0001', decision: 'accept' } as const;
    expect(await code(await send(plain, { reason: 'without a passphrase' }))).toBe('403 passphraseNeeded');
    expect(await code(await send({ kind: 'passphraseSet', person: reviewer }))).toBe('403 passphraseNeeded');
    expect(await listed()).toEqual([]);
    expect(counts['requestFailed']).toBeUndefined();
  });

  it('never comes of anything else that is entered', async () => {
    const { enter, state } = await withPeople();
    await enter(lots('W-1'));
    await enter({ kind: 'hold', joint: 'J-0001', on: true }, { reason: 'ruling asked for' });
    expect((await state()).disposition).toBeNull();
  });
});

describe('a passphrase', () => {
  it('is set by its person, changed with the present one, or by an administrator who proves to be one', async () => {
    const { setPassphrase, reviewer, administrator, author, code, rule } = await withPeople();
    expect(await code(await setPassphrase(reviewer, WORDS, { author: administrator }))).toBe(
      '403 passphraseNotSet',
    );
    await answer(ROUTES.setPassphrase, await setPassphrase(administrator, 'nine tin hammers'));
    await answer(ROUTES.setPassphrase, await setPassphrase(reviewer, 'the first words'));
    expect(await code(await setPassphrase(reviewer, WORDS))).toBe('403 passphraseWrong');
    expect(await code(await setPassphrase(reviewer, WORDS, { author, words: WORDS }))).toBe(
      '403 roleMissing',
    );
    const by = { author: administrator, words: 'nine tin hammers' };
    const entry = await answer(ROUTES.setPassphrase, await setPassphrase(reviewer, WORDS, by));
    expect(entry).toMatchObject({ author: administrator, body: { person: reviewer } });
    expect(await code(await setPassphrase('nobody', WORDS))).toBe('404 personUnknown');
    // The wrong one above still makes the next try wait, whoever set the new one.
    expect(await code(await rule())).toBe('429 passphraseWait');
  });

  it.each(['short 7', '', 'x'.repeat(129)])('of another length is refused: %j', async passphrase => {
    const { setPassphrase, reviewer, code } = await withPeople();
    expect(await code(await setPassphrase(reviewer, passphrase))).toBe('400 bodyInvalid');
  });

  it('is counted in characters, not in code units', () => {
    const given = (passphrase: string) =>
      newPassphraseSchema.safeParse({ author: 'p', authorPassphrase: null, passphrase }).success;
    expect(given('👷'.repeat(4))).toBe(false);
    expect(given('👷'.repeat(8))).toBe(true);
    expect(given('👷'.repeat(128))).toBe(true);
  });
});
