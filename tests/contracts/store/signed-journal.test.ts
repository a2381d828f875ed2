/** The journal's chain and signatures in the store's file: made with every entry, and for a journal from before them. */
import { createHash, createPublicKey, verify } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { Entry } from '#core/journal/entry';
import { type SignedEntry, signedEntryText } from '#core/journal/signed-entry';
import { migrate } from '../../../dashboard/server/store/migrate.ts';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { START_MS } from '../../support/test-records.ts';

const AT = new Date(START_MS).toISOString();

function openAt(directory: string, events = recordedEvents()): SqliteStore {
  const now = () => new Date(START_MS);
  const store = new SqliteStore({ directory, sqlite: Sqlite, report: events.report, now });
  store.open();
  onTestFinished(() => store.close());
  return store;
}

const entry = (id: string, joint = 'J-0001'): Omit<Entry, 'number'> => ({
  id,
  at: AT,
  origin: 'simulated',
  author: 'p-1',
  shiftDate: '2026-05-12',
  reason: 'it’s “so”\n<b>',
  corrects: null,
  body: { kind: 'consumables', joint, wireLot: 'W-1' },
});

/** Checks one entry by the public key file alone, with node:crypto and nothing of the project but the text. */
function check(directory: string, signed: SignedEntry): { isHash: boolean; isSignature: boolean } {
  const key = createPublicKey(readFileSync(join(directory, 'dashboard-key.pub.pem')));
  const text = Buffer.from(signedEntryText(signed.document), 'utf8');
  return {
    isHash: createHash('sha256').update(text).digest('hex') === signed.hash,
    isSignature: verify(null, text, key, Buffer.from(signed.signature, 'hex')),
  };
}

describe('the journal', () => {
  it('chains and signs every entry as it is entered, also after a restart', () => {
    const directory = tempDir();
    const first = openAt(directory);
    const entries = [first.journal.add(entry('a')), first.journal.add(entry('b', 'J-0002'))];
    const { fingerprint } = first.key;
    first.close();
    const store = openAt(directory);
    entries.push(store.journal.add(entry('c')));
    expect(store.key.fingerprint).toBe(fingerprint);
    let prev = '0'.repeat(64);
    for (const one of entries) {
      const signed = store.journal.signed(one)!;
      expect(signed.document).toMatchObject({ prev, key: fingerprint, signedAs: 'entered', entry: one });
      expect(check(directory, signed)).toEqual({ isHash: true, isSignature: true });
      prev = signed.hash;
    }
    expect(store.journal.signedHead()).toEqual({ number: 3, hash: prev });
  });

  it('has nothing where its entry was refused', () => {
    const { journal } = openAt(tempDir());
    journal.add(entry('a'));
    expect(() => journal.add(entry('a'))).toThrow(/UNIQUE/);
    const broken = { ...entry('b'), reason: 'half a character: \ud83d' };
    expect(() => journal.add(broken)).toThrow(/^\$\.entry\.reason holds half of a character/);
    expect([journal.head(), journal.signedHead().number]).toEqual([1, 1]);
  });

  it('of an older layout is chained and signed as it is found, once, and says so', () => {
    const directory = tempDir();
    const file = join(directory, 'dashboard.sqlite3');
    const db = new Sqlite(file);
    migrate(db, file, 3);
    const insert = db.prepare(
      `INSERT INTO journal (id, at, origin, author, shift_date, reason, corrects, kind, subject, body)
       VALUES (?, ?, 'simulated', 'p-1', '2026-05-12', NULL, NULL, 'consumables', 'joint J-0001', ?)`,
    );
    const body = { kind: 'consumables', joint: 'J-0001', wireLot: 'W-1' };
    for (const id of ['old-1', 'old-2', 'old-3']) insert.run(id, AT, JSON.stringify(body));
    db.close();
    const events = recordedEvents();
    const store = openAt(directory, events);
    expect(events.counts).toMatchObject({ journalSignedAsFound: 1 });
    expect(events.counts).not.toHaveProperty('journalUnsigned');
    const old = store.journal.about('joint J-0001');
    const later = store.journal.add(entry('new'));
    const signed = [...old, later].map(one => store.journal.signed(one)!);
    expect(signed.map(({ document }) => document.signedAs)).toEqual([
      'foundAtMigration',
      'foundAtMigration',
      'foundAtMigration',
      'entered',
    ]);
    for (const one of signed) expect(check(directory, one)).toEqual({ isHash: true, isSignature: true });
    expect(signed[3]!.document.prev).toBe(signed[2]!.hash);
    store.close();
    const again = recordedEvents();
    openAt(directory, again);
    expect(again.counts).toEqual({});
  });

  it('does not sign an entry that came in beside it: it says so at every start', () => {
    const directory = tempDir();
    const store = openAt(directory);
    store.journal.add(entry('a'));
    store.close();
    const db = new Sqlite(join(directory, 'dashboard.sqlite3'));
    db.prepare(
      `INSERT INTO journal (id, at, origin, author, shift_date, kind, subject, body)
       VALUES ('x', ?, 'real', 'p-1', '2026-05-12', 'hold', 'joint J-0001', '{}')`,
    ).run(AT);
    db.close();
    const events = recordedEvents();
    openAt(directory, events);
    expect(events.counts).toMatchObject({ journalUnsigned: 1 });
  });
});
