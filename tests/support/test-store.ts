/** The dashboard's real store in a folder, and a way to break it. */
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { onTestFinished } from 'vitest';
import { SqliteStore } from '../../dashboard/server/store/sqlite-store.ts';
import { recordedEvents } from './recorded-events.ts';
import { START_MS } from './test-records.ts';

/** Opened; closed with the running test. */
export function openStore(directory: string, events = recordedEvents()): SqliteStore {
  const store = new SqliteStore({
    directory,
    sqlite: Sqlite,
    report: events.report,
    now: () => new Date(START_MS),
  });
  store.open();
  onTestFinished(() => store.close());
  return store;
}

/** The database itself, beside the store's own connection; closed with the running test. */
export function openDatabase(directory: string): Sqlite.Database {
  const db = new Sqlite(join(directory, 'dashboard.sqlite3'));
  onTestFinished(() => void db.close());
  return db;
}
