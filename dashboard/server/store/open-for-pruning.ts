/** The store for the command that lets samples go, beside a dashboard that may be running. */
import type { Database } from 'better-sqlite3';
import { openBeside } from './open-beside.ts';
import { Pruning } from './pruning.ts';
import { RecordTable } from './record-table.ts';
import { SealTable } from './seal-table.ts';
import type { Prepare } from './statements.ts';
import { StreamTable } from './stream-table.ts';

export async function openForPruning(
  file: string,
): Promise<{ db: Database; sql: Prepare; pruning: Pruning }> {
  const { db, sql } = await openBeside(file);
  const seals = new SealTable(sql, work => db.transaction(work)());
  return { db, sql, pruning: new Pruning(db, sql, new RecordTable(db, sql, new StreamTable(sql), seals)) };
}
