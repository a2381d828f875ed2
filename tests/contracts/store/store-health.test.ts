/** Room, pace and log of the dashboard's store, asked of real files. */

import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { LARGE_LOG_BYTES, StoreWatch } from '../../../dashboard/server/health/store-watch.ts';
import { TruckConditions } from '../../../dashboard/server/health/truck-conditions.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { START_MS } from '../../support/test-records.ts';
import { openStore } from '../../support/test-store.ts';
import { chain } from './store-support.ts';

const HOUR_MS = 3_600_000;

function watched(disk: { freeBytes: number; totalBytes: number }, hours = 2) {
  const directory = tempDir();
  const store = openStore(directory);
  const records = chain(100);
  // 50 records at the start, 50 later.
  store.commitRecords(records.slice(0, 50), new Date(START_MS).toISOString());
  store.commitRecords(records.slice(50), new Date(START_MS + hours * HOUR_MS).toISOString());
  const now = () => new Date(START_MS + hours * HOUR_MS);
  const conditions = new TruckConditions(now);
  const { report, counts } = recordedEvents();
  const watch = new StoreWatch({
    directory,
    store: store.health,
    set: conditions.set,
    report,
    now,
    onStoreError: error => {
      throw error;
    },
    diskOf: () => disk,
  });
  watch.look();
  const causes = () => conditions.state().conditions.map(({ cause, priority }) => `${cause} ${priority}`);
  return { directory, store, watch, conditions, counts, causes };
}

describe('room of the truck’s store', () => {
  it('is told in days at the pace of what is stored, and all is well with plenty of it', () => {
    const { watch, causes, store } = watched({ freeBytes: 500e9, totalBytes: 1000e9 });
    const { bytes } = store.health.files();
    expect(watch.room.bytesPerDay).toBeCloseTo(bytes * 12, 0);
    expect(watch.room.daysLeft).toBeCloseTo((500e9 - 64 * 1024 ** 2) / (bytes * 12), 3);
    expect(causes()).toEqual([]);
  });

  it('warns at 20 % free, at 7 days left, and gravely at less than one', () => {
    expect(watched({ freeBytes: 199e9, totalBytes: 1000e9 }).causes()).toEqual(['diskSpace medium']);
    const perDay = watched({ freeBytes: 1e12, totalBytes: 1e12 }).watch.room.bytesPerDay!;
    const reserve = 64 * 1024 ** 2;
    const of = (days: number) => {
      const freeBytes = reserve + days * perDay;
      return watched({ freeBytes, totalBytes: freeBytes });
    };
    expect(of(7.5).causes()).toEqual([]);
    expect(of(6.5).causes()).toEqual(['diskSpace medium']);
    const [condition] = of(0.5).conditions.state().conditions;
    expect(condition).toMatchObject({ priority: 'high', text: expect.stringContaining('less than a day') });
  });

  it('says nothing of days before it can know them', () => {
    const { watch } = watched({ freeBytes: 1e12, totalBytes: 1e12 }, 0.1);
    expect(watch.room).toMatchObject({ bytesPerDay: null, daysLeft: null });
  });

  it('counts the records that had come by a moment, by halving', () => {
    const { store } = watched({ freeBytes: 1e12, totalBytes: 1e12 });
    const { recordsAt } = store.health.recorded();
    expect([-1, 0, 1, 2 * HOUR_MS - 1, 2 * HOUR_MS, 9e9].map(ms => recordsAt(START_MS + ms))).toEqual([
      0, 50, 50, 50, 100, 100,
    ]);
  });

  it('a reader that stays keeps the log from being cut: said above 32 MB, and cut when it lets go', () => {
    const { directory, store, watch, causes, counts } = watched({ freeBytes: 1e12, totalBytes: 1e12 });
    const reader = new Sqlite(join(directory, 'dashboard.sqlite3'), { readonly: true });
    onTestFinished(() => void reader.close());
    const held = reader.prepare('SELECT id FROM records').iterate();
    held.next();
    const { db } = (store as unknown as { opened: { db: Sqlite.Database } }).opened;
    db.exec('CREATE TABLE filler (a)');
    while (store.health.files().logBytes <= LARGE_LOG_BYTES) {
      db.exec('INSERT INTO filler VALUES (zeroblob(4000000))');
    }
    watch.look();
    watch.look();
    expect(causes()).toEqual(['logLarge medium']);
    expect(counts).toMatchObject({ storeLogLarge: 1 });
    held.return?.();
    watch.look();
    expect(causes()).toEqual([]);
    expect(store.health.files().logBytes).toBe(0);
  });
});
