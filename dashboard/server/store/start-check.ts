/**
 * Is the file still what was written? Asked at every start, in bounded time, through a connection that cannot
 * write: looking must not change what a damaged file still holds.
 *
 * SQLite's own check finds broken pages, not changed content; the hash chain finds changed content. Large
 * tables of a large file are left to the chain of their newest records, to `backup` and to `verify`.
 */
import { createHash } from 'node:crypto';
import { existsSync, statSync } from 'node:fs';
import type { Database } from 'better-sqlite3';
import { recordHashInput, reducedHashInput } from '#core/record/chain';
import { LAYOUT } from './migrations.ts';
import { RecordBodies } from './record-bodies.ts';
import type { Sqlite } from './sqlite-store.ts';
import { prepareOnce } from './statements.ts';

/** The file holds something it never should. */
export class DamagedStoreError extends Error {}

export interface StartCheckOptions {
  readonly sqlite: Sqlite;
  readonly file: string;
  /** The folder has held a store before, so an empty file is not a new one. */
  readonly usedBefore: boolean;
  readonly monotonicMs: () => number;
}

/** Checked whole up to this size, bytes. */
const WHOLE_UP_TO = 256 * 1024 * 1024;
const LARGE_TABLES = ['records', 'chunks', 'stretches', 'record_conflicts', 'events', 'passes', 'deviations'];
/** Newest records of each stream whose hashes are computed. */
const NEWEST = 600;
const BUDGET_MS = 15_000;

/** Throws DamagedStoreError or SqliteError for a file that is not what was written. */
export function checkAtStart({ sqlite, file, usedBefore, monotonicMs }: StartCheckOptions): void {
  const bytes = existsSync(file) ? statSync(file).size : 0;
  if (bytes === 0) {
    // SQLite would throw away a log that stands beside an empty file.
    const wal = existsSync(`${file}-wal`) && statSync(`${file}-wal`).size > 0;
    if (wal || (usedBefore && existsSync(file))) throw new DamagedStoreError('the file is empty');
    return;
  }
  const untilMs = monotonicMs() + BUDGET_MS;
  const db = sqlite(file, { readonly: true, fileMustExist: true });
  try {
    check(db, bytes, () => monotonicMs() < untilMs);
  } catch (error) {
    // A journal to be rolled back first, or a folder that is read-only: opening it for writing says which.
    if (!/^SQLITE_(READONLY|CANTOPEN)/.test((error as { code?: string }).code ?? '')) throw error;
  } finally {
    db.close();
  }
}

function check(db: Database, bytes: number, inTime: () => boolean): void {
  db.pragma('trusted_schema = OFF');
  const layout = db.pragma('user_version', { simple: true }) as number;
  const tables = db
    .prepare(`SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%'`)
    .pluck()
    .all() as string[];
  // A first start that was cut off before its first step; or one that a newer Girthlog must look at.
  if ((layout === 0 && tables.length === 0) || layout > LAYOUT) return;
  if (!tables.includes('streams') || !tables.includes('records')) {
    throw new DamagedStoreError('it is a database of something else');
  }
  checkPages(db, bytes, tables, inTime);
  checkNewest(db, inTime);
}

function checkPages(db: Database, bytes: number, tables: readonly string[], inTime: () => boolean): void {
  const asked = bytes <= WHOLE_UP_TO ? ['1'] : tables.filter(name => !LARGE_TABLES.includes(name));
  for (const what of asked) {
    if (!inTime()) return;
    const [first] = db.pragma(`quick_check(${what})`) as { quick_check: string }[];
    if (first?.quick_check !== 'ok') throw new DamagedStoreError(`${first?.quick_check}`.slice(0, 200));
  }
}

interface StreamRow {
  id: number;
  site: string;
  rig: string;
  stream: string;
  first: number;
  upto: number;
  head: string;
}

interface Row {
  seq: number;
  prev: string;
  hash: string;
  body: string;
  /** Absent before the layout that can hold reduced records. */
  body_hash?: string | null;
  /** Absent before the layout that settles records. */
  settled?: number | null;
}

/** The newest records of each stream, the stream heard last first: hash of each, each naming the one before. */
function checkNewest(db: Database, inTime: () => boolean): void {
  const streams = db
    .prepare(`SELECT id, site, rig, stream, first_seq AS first, upto, head FROM streams
       WHERE first_seq IS NOT NULL ORDER BY last_received DESC`)
    .all() as StreamRow[];
  const newest = db.prepare(
    `SELECT * FROM records
     WHERE stream_id = ? AND seq BETWEEN ? AND ? ORDER BY seq DESC LIMIT ?`,
  );
  const bodies = new RecordBodies(prepareOnce(db));
  for (const { id, site, rig, stream, first, upto, head } of streams) {
    let expected = head;
    let seq = upto;
    let stretch: number | null = null;
    for (const row of newest.iterate(id, first, upto, NEWEST) as IterableIterator<Row>) {
      if (!inTime()) return;
      // Putting texts together takes time: of what has settled, which is no longer new, one stretch is looked at.
      if (row.settled && stretch !== null && row.settled !== stretch) break;
      stretch = row.settled || stretch;
      const whole = bodies.whole(id, { ...row, settled: row.settled ?? null });
      const problem = problemOf(whole, stream, seq, expected);
      if (problem) throw new DamagedStoreError(`record ${seq} of ${site}/${rig} ${problem}`);
      expected = whole.prev;
      seq -= 1;
    }
    if (seq === upto && upto >= first)
      throw new DamagedStoreError(`record ${seq} of ${site}/${rig} is missing`);
  }
}

function problemOf(row: Row, stream: string, expectedSeq: number, expected: string): string | null {
  const { seq, prev, hash, body, body_hash: bodyHash = null } = row;
  if (seq !== expectedSeq) return 'is missing';
  if (hash !== expected) return 'is not the one that the next names';
  const text =
    bodyHash === null ? recordHashInput({ prev, stream, seq, body }) : reducedHashInput({ hash, body });
  const computed = createHash('sha256').update(text, 'utf8').digest('hex');
  return computed === (bodyHash ?? hash) ? null : 'does not match its hash';
}
