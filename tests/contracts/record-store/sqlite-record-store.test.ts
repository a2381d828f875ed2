import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { onTestFinished } from 'vitest';
import { SqliteRecordStore } from '../../../dashboard/server/store/sqlite-record-store.ts';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { START_MS } from '../../support/test-records.ts';
import { describeRecordStore } from './record-store-contract.ts';

describeRecordStore('SQLite', async () => {
  const directory = join(tempDir(), 'data');
  const openStore = (): SqliteStore => {
    const { report } = recordedEvents();
    const store = new SqliteStore({ directory, sqlite: Sqlite, report, now: () => new Date(START_MS) });
    store.open();
    onTestFinished(() => store.close());
    return store;
  };
  let current = openStore();
  const store = new SqliteRecordStore(current);
  return {
    store,
    // One process writes: its users share the connection.
    second: store,
    reopen: async () => {
      current.close();
      current = openStore();
      return new SqliteRecordStore(current);
    },
    contents: async () => {
      const db = new Sqlite(join(directory, 'dashboard.sqlite3'), { readonly: true });
      try {
        return {
          passes: current.passes({ limit: 100 }).items,
          deviations: current.deviations({ limit: 100 }).items.map(({ deviation }) => deviation),
          events: current.events({ limit: 100 }).items.map(({ event }) => event),
          records: db.prepare('SELECT count(*) FROM records').pluck().get() as number,
          conflicts: db.prepare('SELECT hash FROM record_conflicts').pluck().all() as string[],
        };
      } finally {
        db.close();
      }
    },
  };
});
