/** The chain and the signatures of the journal, one row an entry; the file refuses to change or drop one. */
import type { Entry } from '#core/journal/entry';
import {
  JOURNAL_START,
  type SignedDocument,
  type SignedEntry,
  signedEntryText,
} from '#core/journal/signed-entry';
import type { DashboardKeys } from '#core/messages/api-disposition';
import type { DashboardKey } from '../seal/dashboard-key.ts';
import { sha256Hex } from '../seal/ed25519.ts';
import type { Prepare } from './statements.ts';

/** Where the journal stands: what a document that names it can be held against later. */
export interface JournalHead {
  readonly number: number;
  readonly hash: string;
}

interface Row {
  number: number;
  prev: string;
  hash: string;
  key: string;
  signed_as: SignedDocument['signedAs'];
  signature: string;
}

export class JournalSignatures {
  private readonly sql: Prepare;
  private readonly key: DashboardKey;
  private readonly now: () => Date;

  constructor(sql: Prepare, key: DashboardKey, now: () => Date) {
    this.sql = sql;
    this.key = key;
    this.now = now;
  }

  /** Chains and signs an entry just stored, in the caller's transaction. */
  sign(entry: Entry, signedAs: SignedDocument['signedAs'] = 'entered'): void {
    const { fingerprint, publicKey } = this.key;
    this.sql(
      'INSERT INTO dashboard_keys (fingerprint, public_key, since) VALUES (?, ?, ?) ON CONFLICT DO NOTHING',
    ).run(fingerprint, publicKey, this.now().toISOString());
    const prev = this.head().hash;
    const text = signedEntryText({
      schema: 'girthlog.journal-entry/1',
      prev,
      key: fingerprint,
      signedAs,
      entry,
    });
    this.sql(
      `INSERT INTO journal_signatures (number, prev, hash, key, signed_as, signature) VALUES (?, ?, ?, ?, ?, ?)`,
    ).run(entry.number, prev, sha256Hex(text), fingerprint, signedAs, this.key.sign(text));
  }

  /** Number 0 and JOURNAL_START before the first entry. */
  head(): JournalHead {
    const row = this.sql('SELECT number, hash FROM journal_signatures ORDER BY number DESC LIMIT 1').get();
    return (row as JournalHead | undefined) ?? { number: 0, hash: JOURNAL_START };
  }

  /** The entry with its chain and signature; null where it has none. */
  signed(entry: Entry): SignedEntry | null {
    const row = this.sql('SELECT * FROM journal_signatures WHERE number = ?').get(entry.number) as
      | Row
      | undefined;
    return row ? signedEntryOf(entry, row) : null;
  }

  /** The keys entries were signed with, oldest first. */
  keys(): DashboardKeys['used'] {
    const rows = this.sql(
      'SELECT fingerprint, public_key AS publicKey, since FROM dashboard_keys ORDER BY since, rowid',
    ).all();
    return rows as DashboardKeys['used'];
  }

  /** Entries that carry no signature. */
  unsigned(): number {
    const { n } = this.sql(
      `SELECT count(*) AS n FROM journal
       WHERE NOT EXISTS (SELECT 1 FROM journal_signatures WHERE journal_signatures.number = journal.number)`,
    ).get() as { n: number };
    return n;
  }
}

function signedEntryOf(entry: Entry, row: Row): SignedEntry {
  const { prev, hash, key, signed_as: signedAs, signature } = row;
  return { document: { schema: 'girthlog.journal-entry/1', prev, key, signedAs, entry }, hash, signature };
}
