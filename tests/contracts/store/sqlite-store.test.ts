import { readdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { ProgramError } from '#core/program/program-error';
import { migrate } from '../../../dashboard/server/store/migrate.ts';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { START_MS } from '../../support/test-records.ts';
import { describeStore } from './store-contract.ts';

function openAt(directory: string, events = recordedEvents()): SqliteStore {
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

describeStore('SQLite', () => {
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

describe('SQLite store file', () => {
  it('is readable by its owner only, side files included', () => {
    const directory = join(tempDir(), 'data');
    openAt(directory);
    const modes = readdirSync(directory).map(name => [name, statSync(join(directory, name)).mode & 0o777]);
    expect(modes).toEqual([
      ['dashboard-key.pem', 0o400],
      // Public, but no one else comes into the directory.
      ['dashboard-key.pub.pem', 0o444],
      ['dashboard.sqlite3', 0o600],
      ['dashboard.sqlite3-shm', 0o600],
      ['dashboard.sqlite3-wal', 0o600],
    ]);
    expect(statSync(directory).mode & 0o777).toBe(0o700);
  });

  it('flushes every commit to the disk', () => {
    const directory = tempDir();
    const store = openAt(directory) as unknown as { opened: { db: Sqlite.Database } };
    const { db } = store.opened;
    expect(db.pragma('journal_mode', { simple: true })).toBe('wal');
    // 2 is FULL, https://www.sqlite.org/pragma.html#pragma_synchronous
    expect(db.pragma('synchronous', { simple: true })).toBe(2);
    expect(db.pragma('trusted_schema', { simple: true })).toBe(0);
  });

  it('moves a damaged file aside and begins a new one, saying so', () => {
    const directory = tempDir();
    writeFileSync(
      join(directory, 'dashboard.sqlite3'),
      'this is no database, and long enough to be looked at '.repeat(50),
    );
    const events = recordedEvents();
    const store = openAt(directory, events);
    expect(store.streamStates()).toEqual([]);
    expect(events.counts).toMatchObject({ storeQuarantined: 1 });
    expect(readdirSync(directory).some(name => name.startsWith('dashboard.sqlite3.damaged-'))).toBe(true);
  });

  it('refuses to change or to drop a line of the journal, whoever asks', () => {
    const directory = tempDir();
    const store = openAt(directory);
    store.journal.add({
      id: 'e-1',
      at: new Date(START_MS).toISOString(),
      origin: 'real',
      author: 'p-1',
      shiftDate: '2026-05-12',
      reason: null,
      corrects: null,
      body: { kind: 'consumables', joint: 'J-0001', wireLot: 'W-1' },
    });
    const db = new Sqlite(join(directory, 'dashboard.sqlite3'));
    onTestFinished(() => void db.close());
    for (const sql of [
      "UPDATE journal SET author = 'p-2'",
      'DELETE FROM journal',
      "UPDATE journal_signatures SET signature = ''",
      'DELETE FROM journal_signatures',
    ]) {
      expect(() => db.exec(sql)).toThrow(/the journal is append-only/);
    }
    expect(store.journal.entry('e-1')?.author).toBe('p-1');
  });

  it('brings a store of the first layout to this one, with a copy of it beside', () => {
    const directory = tempDir();
    const file = join(directory, 'dashboard.sqlite3');
    const db = new Sqlite(file);
    migrate(db, file, 1);
    db.close();
    const events = recordedEvents();
    const store = openAt(directory, events);
    expect(events.counts).toMatchObject({ storeMigrated: 1 });
    expect(store.journal.head()).toBe(0);
    expect(readdirSync(directory)).toContain('dashboard.sqlite3.layout-1');
  });

  it('refuses a store of a newer version with one sentence', () => {
    const directory = tempDir();
    openAt(directory).close();
    const db = new Sqlite(join(directory, 'dashboard.sqlite3'));
    db.pragma('user_version = 999');
    db.close();
    expect(() => openAt(directory)).toThrow(ProgramError);
    expect(() => openAt(directory)).toThrow(/newer Girthlog \(layout 999\)/);
  });

  it('refuses a directory it cannot make, naming it and the flag', () => {
    const file = join(tempDir(), 'a-file');
    writeFileSync(file, '');
    expect(() => openAt(join(file, 'data'))).toThrow(new RegExp(`${file}/data .*--data`));
  });
});
