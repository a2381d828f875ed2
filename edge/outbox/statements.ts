/** The store's prepared statements, made once per handle. */
import type Database from 'better-sqlite3';
import type { Reduction } from '#core/messages/record';
import type { SqliteDatabase } from './outbox-database.ts';
import type { Cursor, StoredBatch } from './outbox-types.ts';

/** A batch as its table has it. */
export interface Row {
  readonly seq: number;
  readonly stream: string;
  readonly prev: string;
  readonly hash: string;
  readonly body: string;
  readonly closed_us: number;
  readonly closed_utc_ms: number;
  readonly reduced_to: Reduction['to'] | null;
  /** Of the body as it is now, where it was reduced. */
  readonly body_hash: string | null;
}

export function batchOf(row: Row): StoredBatch {
  const { seq, prev, hash, body, closed_us: closedUs, reduced_to: to, body_hash: bodyHash } = row;
  return { seq, prev, hash, body, closedUs, reduced: to && bodyHash ? { to, bodyHash } : null };
}

type Statement<P extends unknown[], R = unknown> = Database.Statement<P, R>;

export interface Statements {
  readonly stream: Statement<[], string>;
  readonly insert: Statement<[number, string, string, string, string, number, number]>;
  readonly last: Statement<[], Row>;
  readonly from: Statement<[number, number], Row>;
  readonly hashAt: Statement<[number], string>;
  readonly closedAt: Statement<[number], number>;
  readonly hashes: Statement<[number, number, number], string>;
  readonly reducedFrom: Statement<[number], number>;
  readonly deleteRange: Statement<[number, number]>;
  readonly putBack: Statement<[Row]>;
  readonly meta: Statement<[string], string>;
  readonly setMeta: Statement<[string, string]>;
  readonly cursor: Statement<[string], Cursor>;
  readonly setCursor: Statement<[string, number, string]>;
  readonly allState: Statement<[], { readonly key: string; readonly value: string }>;
  readonly setState: Statement<[string, string]>;
  readonly deleteState: Statement<[string]>;
}

export function prepareStatements(db: SqliteDatabase): Statements {
  return {
    stream: db.prepare<[], string>("SELECT value FROM meta WHERE key = 'stream'").pluck() as Statement<
      [],
      string
    >,
    insert: db.prepare(
      `INSERT INTO batch (seq, stream, prev, hash, body, closed_us, closed_utc_ms) VALUES (?, ?, ?, ?, ?, ?, ?)`,
    ),
    last: db.prepare('SELECT * FROM batch ORDER BY seq DESC LIMIT 1'),
    from: db.prepare('SELECT * FROM batch WHERE seq >= ? ORDER BY seq LIMIT ?'),
    hashAt: db.prepare<[number], string>('SELECT hash FROM batch WHERE seq = ?').pluck() as Statement<
      [number],
      string
    >,
    closedAt: db.prepare<[number], number>('SELECT closed_us FROM batch WHERE seq = ?').pluck() as Statement<
      [number],
      number
    >,
    hashes: db
      .prepare<[number, number, number], string>(
        'SELECT hash FROM batch WHERE seq BETWEEN ? AND ? ORDER BY seq LIMIT ?',
      )
      .pluck() as Statement<[number, number, number], string>,
    reducedFrom: db
      .prepare<[number], number>('SELECT count(*) FROM batch WHERE seq >= ? AND reduced_to IS NOT NULL')
      .pluck() as Statement<[number], number>,
    deleteRange: db.prepare('DELETE FROM batch WHERE seq BETWEEN ? AND ?'),
    putBack: db.prepare(
      `INSERT INTO batch (seq, stream, prev, hash, body, closed_us, closed_utc_ms, reduced_to, body_hash)
       VALUES (@seq, @stream, @prev, @hash, @body, @closed_us, @closed_utc_ms, @reduced_to, @body_hash)`,
    ),
    meta: db.prepare<[string], string>('SELECT value FROM meta WHERE key = ?').pluck() as Statement<
      [string],
      string
    >,
    setMeta: db.prepare(
      `INSERT INTO meta (key, value) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value`,
    ),
    cursor: db.prepare('SELECT upto, head FROM cursor WHERE store = ?'),
    setCursor: db.prepare(
      `INSERT INTO cursor (store, upto, head) VALUES (?, ?, ?)
       ON CONFLICT (store) DO UPDATE SET upto = excluded.upto, head = excluded.head`,
    ),
    allState: db.prepare('SELECT key, value FROM state'),
    setState: db.prepare(
      `INSERT INTO state (key, value) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value`,
    ),
    deleteState: db.prepare('DELETE FROM state WHERE key = ?'),
  };
}
