/** The store for a command that writes a little into it, beside a dashboard that may be running. */
import type { Database } from 'better-sqlite3';
import { EXIT, ProgramError } from '#core/program/program-error';
import { LAYOUT } from './migrations.ts';
import { type Prepare, prepareOnce } from './statements.ts';

/** Throws ProgramError where the store has another layout. */
export async function openBeside(file: string): Promise<{ db: Database; sql: Prepare }> {
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
    return { db, sql: prepareOnce(db) };
  } catch (error) {
    db.close();
    throw error;
  }
}
