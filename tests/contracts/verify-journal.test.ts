/** What is done to the journal of a store's file behind its back, and the sentence that names the first entry that does not fit. */
import { generateKeyPairSync, sign } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { type SignedDocument, signedEntryText } from '#core/journal/signed-entry';
import { fingerprintOf, rawPublicKey, sha256Hex } from '../../dashboard/server/seal/ed25519.ts';
import type { Tamper } from '../support/record-tampers.ts';
import { type SealedStore, sealedStore } from '../support/sealed-store.ts';

/** Every entry signed anew by another key, as someone does who has the format and not the key. */
function signAnew(db: Parameters<Parameters<SealedStore['withFile']>[0]>[0]): string {
  const { privateKey, publicKey } = generateKeyPairSync('ed25519');
  const raw = rawPublicKey(publicKey);
  const key = fingerprintOf(raw);
  db.prepare('UPDATE dashboard_keys SET fingerprint = ?, public_key = ?').run(key, raw);
  let prev = '0'.repeat(64);
  for (const row of db.prepare('SELECT * FROM journal ORDER BY number').all() as Record<string, string>[]) {
    const { number, id, at, origin, author, reason, corrects } = row;
    const entry = {
      number,
      id,
      at,
      origin,
      author,
      shiftDate: row['shift_date'],
      reason,
      corrects,
      body: JSON.parse(row['body']!),
    };
    const document = {
      schema: 'girthlog.journal-entry/1',
      prev,
      key,
      signedAs: 'entered',
      entry,
    } as unknown as SignedDocument;
    const text = signedEntryText(document);
    const hash = sha256Hex(text);
    const signature = sign(null, Buffer.from(text, 'utf8'), privateKey).toString('hex');
    db.prepare(
      'UPDATE journal_signatures SET prev = ?, hash = ?, key = ?, signature = ? WHERE number = ?',
    ).run(prev, hash, key, signature, number);
    prev = hash;
  }
  return key;
}

const JOURNAL: readonly [what: string, tamper: Tamper, entry: number, text: string | RegExp][] = [
  [
    'an entry is dated back',
    ({ tamper }) => tamper("UPDATE journal SET at = '2026-05-11T08:00:00.000Z' WHERE number = 2"),
    2,
    'Journal entry 2 is not what was signed: something in it was changed.',
  ],
  [
    'a disposition is changed',
    ({ tamper }) => tamper(`UPDATE journal SET body = replace(body, 'repair', 'accept') WHERE number = 3`),
    3,
    'Journal entry 3 is not what was signed: something in it was changed.',
  ],
  [
    'an entry gets another author',
    ({ tamper }) => tamper("UPDATE journal SET author = 'p-2' WHERE number = 1"),
    1,
    'Journal entry 1 is not what was signed: something in it was changed.',
  ],
  [
    'an entry is filed elsewhere',
    ({ tamper }) => tamper("UPDATE journal SET subject = 'joint J-0002' WHERE number = 3"),
    3,
    'Journal entry 3 is filed under something it is not about.',
  ],
  [
    'an entry is deleted with its signature',
    ({ withFile }) =>
      withFile(db =>
        db.exec('DELETE FROM journal_signatures WHERE number = 2; DELETE FROM journal WHERE number = 2'),
      ),
    2,
    'Journal entry 2 is missing: 3 is here.',
  ],
  [
    'an entry is deleted and the hole is closed',
    ({ withFile }) =>
      withFile(db => {
        for (const table of ['journal_signatures', 'journal']) {
          db.exec(`DELETE FROM ${table} WHERE number = 2; UPDATE ${table} SET number = 2 WHERE number = 3`);
        }
      }),
    2,
    'Journal entry 2 does not follow the one before it: one of the two is not what was entered.',
  ],
  [
    'the last entry is deleted',
    ({ tamper }) => tamper('DELETE FROM journal WHERE number = 3'),
    3,
    'Journal entry 3 is missing: its signature is here.',
  ],
  [
    'a signature is deleted',
    ({ tamper }) => tamper('DELETE FROM journal_signatures WHERE number = 1'),
    1,
    'Journal entry 1 carries no signature: it came into the journal beside the dashboard.',
  ],
  [
    'an entry is put in',
    ({ tamper }) =>
      tamper(
        `INSERT INTO journal SELECT 4, 'x', at, origin, author, shift_date, reason, corrects, kind, subject, body FROM journal WHERE number = 3`,
      ),
    4,
    'Journal entry 4 carries no signature: it came into the journal beside the dashboard.',
  ],
  [
    'two entries change places',
    ({ withFile }) =>
      withFile(db => {
        for (const table of ['journal', 'journal_signatures']) {
          db.exec(
            `UPDATE ${table} SET number = 9 WHERE number = 1; UPDATE ${table} SET number = 1 WHERE number = 2; UPDATE ${table} SET number = 2 WHERE number = 9`,
          );
        }
      }),
    1,
    'Journal entry 1 does not follow the one before it: one of the two is not what was entered.',
  ],
  [
    'a signature is exchanged for another of the same key',
    ({ tamper }) =>
      tamper(
        'UPDATE journal_signatures SET signature = (SELECT signature FROM journal_signatures WHERE number = 1) WHERE number = 2',
      ),
    2,
    'Journal entry 2 carries a signature that its key did not make.',
  ],
  [
    'every entry is signed anew by another key',
    ({ withFile }) =>
      withFile(db => {
        db.exec(`UPDATE journal SET body = replace(body, 'repair', 'accept')`);
        signAnew(db);
      }),
    1,
    /^Journal entry 1 is signed by key [0-9a-f]{16}, which is not this dashboard's\.$/,
  ],
];

describe('the journal', () => {
  it.each(JOURNAL)('where %s is named', async (_what, tamper, entry, text) => {
    const store = await sealedStore();
    tamper(store);
    const report = store.verify();
    expect(report.fits).toBe(false);
    expect(report.problems).toHaveLength(1);
    expect(report.problems[0]).toMatchObject({ part: 'journal', entry, text: expect.stringMatching(text) });
  });
});
