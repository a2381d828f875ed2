/** The store for the command that lets samples go, beside a dashboard that may be running. */
import type { Database } from 'better-sqlite3';
import { EXIT, ProgramError } from '#core/program/program-error';
import { LAYOUT } from './migrations.ts';
import { Pruning } from './pruning.ts';
import { RecordTable } from './record-table.ts';
import { SealTable } from './seal-table.ts';
import { type Prepare, prepareOnce } from './statements.ts';
import { StreamTable } from './stream-table.ts';

export async function openForPruning(
  file: string,
): Promise<{ db: Database; sql: Prepare; pruning: Pruning }> {
  const { default: sqlite } = await import('better-sqlite3');
  const db = sqlite(file, { fileMustExist: true });
  try {
    db.pragma('busy_timeout = 5000');
    db.pragma('synchronous = FULL');
    db.pragma('foreign_keys = ON');
    db.pragma('trusted_schema = OFF');
    const layout = db.pragma('user_version', { simple: true }) as number;
    if (layout !== LAYOUT) {
      const remedy =
        layout < LAYOUT ? 'start the dashboard on it once' : 'use the newer Girthlog that wrote it';
      throw new ProgramError(`The store ${file} has layout ${layout}: ${remedy}.`, EXIT.configuration);
    }
    const sql = prepareOnce(db);
    const seals = new SealTable(sql, work => db.transaction(work)());
    return { db, sql, pruning: new Pruning(db, sql, new RecordTable(db, sql, new StreamTable(sql), seals)) };
  } catch (error) {
    db.close();
    throw error;
  }
}
