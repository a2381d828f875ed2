/** Everything a store must do, done by one whose records settle as soon as they are committed. */
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { onTestFinished } from 'vitest';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { START_MS } from '../../support/test-records.ts';
import { describeStore } from './store-contract.ts';

class SettledStore extends SqliteStore {
  override commitRecords = (...[batch, receivedAt]: Parameters<SqliteStore['commitRecords']>) => {
    const result = this.partsForTest.records.commit(batch, receivedAt);
    while (this.settling.step(START_MS + 86_400_000));
    return result;
  };

  private get partsForTest() {
    return (this as unknown as { use: { records: { commit: SqliteStore['commitRecords'] } } }).use;
  }
}

function openAt(directory: string): SqliteStore {
  const store = new SettledStore({
    directory,
    sqlite: Sqlite,
    report: recordedEvents().report,
    now: () => new Date(START_MS),
    settling: { samples: 300, afterMs: 0, restAfterMs: 0 },
  });
  store.open();
  onTestFinished(() => store.close());
  return store;
}

describeStore('SQLite, settled', () => {
  const directory = join(tempDir(), 'data');
  const store = openAt(directory);
  return {
    store,
    reopen: () => {
      store.close();
      return openAt(directory);
    },
  };
});
