/** The store's file, opened for writing the way every acknowledgement relies on. */
import type { Database } from 'better-sqlite3';
import type { ReportEvent } from '../internal-events.ts';
import { migrate } from './migrate.ts';
import type { Sqlite } from './sqlite-store.ts';

/** Brought to the present layout. Throws SqliteError or NewerLayoutError, and leaves nothing open. */
export function openDatabase(sqlite: Sqlite, file: string, report: ReportEvent): Database {
  const db = new sqlite(file);
  try {
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('wal_autocheckpoint = 1000');
    db.pragma('journal_size_limit = 4194304');
    db.pragma('busy_timeout = 2000');
    db.pragma('foreign_keys = ON');
    db.pragma('trusted_schema = OFF');
    const steps = migrate(db, file);
    if (steps > 0) report('storeMigrated', { steps });
    return db;
  } catch (error) {
    db.close();
    throw error;
  }
}
