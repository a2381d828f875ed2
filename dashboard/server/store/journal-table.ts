/**
 * What people enter, append-only. A correction is a new entry; both stay, and the file refuses anything else.
 * Every entry is chained to the one before it and signed by the dashboard's key (journal-signatures.ts).
 */
import type { Database } from 'better-sqlite3';
import type { Entry, EntryBody, EntryKind } from '#core/journal/entry';
import { subjectOf } from '#core/journal/entry';
import type { SignedEntry } from '#core/journal/signed-entry';
import type { DashboardKeys } from '#core/messages/api-disposition';
import type { Origin } from '#core/messages/common';
import type { JournalHead, JournalSignatures } from './journal-signatures.ts';
import { pageOf, where } from './page.ts';
import type { Prepare } from './statements.ts';
import type { Page } from './store.ts';

export interface EntryFilter {
  readonly subject?: string | undefined;
  readonly kind?: EntryKind | undefined;
  readonly limit: number;
  readonly before?: string | undefined;
}

interface Row {
  number: number;
  id: string;
  at: string;
  origin: Origin;
  author: string;
  shift_date: string;
  reason: string | null;
  corrects: string | null;
  body: string;
}

export class JournalTable {
  private readonly db: Database;
  private readonly sql: Prepare;
  private readonly signatures: JournalSignatures;

  constructor(db: Database, sql: Prepare, signatures: JournalSignatures) {
    this.db = db;
    this.sql = sql;
    this.signatures = signatures;
  }

  /** The entry with the number it got. Throws where it corrects one that is corrected already. */
  add(entry: Omit<Entry, 'number'>): Entry {
    return this.db.transaction(() => {
      const added = { number: this.insert(entry), ...entry };
      this.signatures.sign(added);
      return added;
    })();
  }

  /**
   * A journal from before it was signed is chained and signed as it is found; the entries that were. One that is
   * signed already is left alone: an entry without a signature in it is something to be found out, not mended.
   */
  signFound(): number {
    if (this.signatures.head().number > 0) return 0;
    return this.db.transaction(() => {
      let number = 0;
      const next = this.sql('SELECT * FROM journal WHERE number > ? ORDER BY number LIMIT 1');
      for (let row = next.get(0) as Row | undefined; row; row = next.get(row.number) as Row | undefined) {
        this.signatures.sign(entryOf(row), 'foundAtMigration');
        number++;
      }
      return number;
    })();
  }

  /** The entry with its chain and signature; null where it carries none. */
  signed(entry: Entry): SignedEntry | null {
    return this.signatures.signed(entry);
  }

  /** The newest signed entry. */
  signedHead(): JournalHead {
    return this.signatures.head();
  }

  keys(): DashboardKeys['used'] {
    return this.signatures.keys();
  }

  private insert({
    id,
    at,
    origin,
    author,
    shiftDate,
    reason,
    corrects,
    body,
  }: Omit<Entry, 'number'>): number {
    const { lastInsertRowid } = this.sql(
      `INSERT INTO journal (id, at, origin, author, shift_date, reason, corrects, kind, subject, body)
       VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    ).run(
      id,
      at,
      origin,
      author,
      shiftDate,
      reason,
      corrects,
      body.kind,
      subjectOf(body),
      JSON.stringify(body),
    );
    return Number(lastInsertRowid);
  }

  entry(id: string): Entry | null {
    const row = this.sql('SELECT * FROM journal WHERE id = ?').get(id) as Row | undefined;
    return row ? entryOf(row) : null;
  }

  /** The entry that corrects `id`; null where none does. */
  correctionOf(id: string): Entry | null {
    const row = this.sql('SELECT * FROM journal WHERE corrects = ?').get(id) as Row | undefined;
    return row ? entryOf(row) : null;
  }

  /** Newest first. */
  page({ subject, kind, limit, before }: EntryFilter): Page<Entry> {
    const { clause, values } = where({ subject, kind }, 'number < cast(? AS INTEGER)', before, 1);
    const rows = this.sql(`SELECT * FROM journal ${clause} ORDER BY number DESC LIMIT ?`).all(
      ...values,
      limit + 1,
    ) as Row[];
    return pageOf(rows, limit, row => [String(row.number)], entryOf);
  }

  /** Everything about one subject, in order. */
  about(subject: string): Entry[] {
    const rows = this.sql('SELECT * FROM journal WHERE subject = ? ORDER BY number').all(subject) as Row[];
    return rows.map(entryOf);
  }

  ofKind(kind: EntryKind): Entry[] {
    const rows = this.sql('SELECT * FROM journal WHERE kind = ? ORDER BY number').all(kind) as Row[];
    return rows.map(entryOf);
  }

  /** Newest entry of any subject; 0 before the first. */
  head(): number {
    const { n } = this.sql('SELECT coalesce(max(number), 0) AS n FROM journal').get() as { n: number };
    return n;
  }

  /** What a move of a pass made of its verdicts, kept as JSON; the first one stands. */
  addJudgement(entryId: string, answer: string): void {
    // A program that only reads computes it again.
    if (this.db.readonly) return;
    this.sql('INSERT INTO judgements (entry_id, answer) VALUES (?, ?) ON CONFLICT (entry_id) DO NOTHING').run(
      entryId,
      answer,
    );
  }

  judgement(entryId: string): string | null {
    const row = this.sql('SELECT answer FROM judgements WHERE entry_id = ?').get(entryId) as
      | { answer: string }
      | undefined;
    return row?.answer ?? null;
  }
}

function entryOf(row: Row): Entry {
  const { number, id, at, origin, author, shift_date: shiftDate, reason, corrects } = row;
  return {
    number,
    id,
    at,
    origin,
    author,
    shiftDate,
    reason,
    corrects,
    body: JSON.parse(row.body) as EntryBody,
  };
}
