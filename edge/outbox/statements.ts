/** The store's prepared statements, made once per handle. */
import type Database from 'better-sqlite3';
import type { SqliteDatabase } from './outbox-database.ts';
import type { Cursor } from './outbox-types.ts';

/** A batch as its table has it. */
export interface Row {
  readonly seq: number;
  readonly stream: string;
  readonly prev: string;
  readonly hash: string;
  readonly body: string;
  readonly closed_us: number;
  readonly closed_utc_ms: number;
}

type Statement<P extends unknown[], R = unknown> = Database.Statement<P, R>;

export interface Statements {
  readonly stream: Statement<[], string>;
  readonly insert: Statement<[number, string, string, string, string, number, number]>;
  readonly last: Statement<[], Row>;
  readonly from: Statement<[number, number], Row>;
  readonly hashAt: Statement<[number], string>;
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
