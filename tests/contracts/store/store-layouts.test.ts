/** A store of every layout there ever was, with data in it, brought to the present one. */
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { storeFacts } from '../../../dashboard/server/backup/store-facts.ts';
import { LAYOUT, MIGRATIONS } from '../../../dashboard/server/store/migrations.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { FILE, RECORDS, storeOfLayout } from '../../support/store-of-layout.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { STREAM } from '../../support/test-records.ts';
import { openStore } from '../../support/test-store.ts';
import { verifyChain } from '../../support/verify-chain.ts';
import { AT, chain } from './store-support.ts';

/** Columns that a later layout keeps otherwise, as the earlier ones had them. */
const SINCE_PACKED: Readonly<Record<string, string>> = {
  received_at: "strftime('%Y-%m-%dT%H:%M:%fZ', received_ms / 1000.0, 'unixepoch') AS received_at",
};

/** Every row of every table, by the columns of that time. */
function rowsOf(file: string, like?: Record<string, string[]>) {
  const db = new Sqlite(file, { readonly: true });
  const columns: Record<string, string[]> = like ?? {};
  const tables = like
    ? Object.keys(like)
    : (db.prepare(`SELECT name FROM sqlite_schema WHERE type = 'table'`).pluck().all() as string[]);
  const rows: Record<string, unknown[]> = {};
  for (const table of tables) {
    columns[table] ??= (db.pragma(`table_xinfo(${table})`) as { name: string }[]).map(({ name }) => name);
    const isPacked = (db.pragma(`table_xinfo(${table})`) as { name: string }[]).some(
      ({ name }) => name === 'received_ms',
    );
    const asked = columns[table]!.map(name => (isPacked ? (SINCE_PACKED[name] ?? name) : name));
    rows[table] = db.prepare(`SELECT ${asked.join(', ')} FROM ${table} ORDER BY rowid`).all();
  }
  db.close();
  return { rows, columns };
}

describe('a store of an older layout', () => {
  const older = Array.from({ length: LAYOUT - 1 }, (_, i) => i + 1);

  it.each(older)('layout %i: every row is kept, its copy too, and the work goes on', layout => {
    const directory = storeOfLayout(layout);
    const file = join(directory, FILE);
    const before = rowsOf(file);
    const events = recordedEvents();
    const store = openStore(directory, events);
    expect(events.counts).toMatchObject({ storeMigrated: 1 });
    expect(events.counts).not.toHaveProperty('storeQuarantined');
    const after = rowsOf(file, before.columns).rows;
    for (const [table, rows] of Object.entries(before.rows)) {
      // What is found unsigned is signed: rows are added, none is changed.
      expect(after[table]?.slice(0, rows.length), table).toEqual(rows);
    }

    const copy = join(directory, `${FILE}.layout-${layout}`);
    expect(rowsOf(copy)).toEqual(before);
    expect(statSync(copy).mode & 0o777).toBe(0o600);
    const db = new Sqlite(copy, { readonly: true });
    expect(db.pragma('user_version', { simple: true })).toBe(layout);
    db.close();

    const rows = rowsOf(file).rows['records'] as Parameters<typeof verifyChain>[1];
    expect(verifyChain(STREAM, rows)).toBeNull();
    expect(store.people()).toMatchObject([{ name: 'A. Example' }]);
    expect(store.pass(`${STREAM}:1`)).toMatchObject({ joint: 'J-0001' });
    if (layout >= 2) expect(store.journal.entry('e-1')).toMatchObject({ author: 'p-1' });
    const more = chain(RECORDS + 3).slice(RECORDS);
    expect(store.commitRecords(more, AT).streams).toMatchObject([{ upto: RECORDS + 3, conflicts: 1 }]);
    store.close();
    const again = recordedEvents();
    openStore(directory, again);
    expect(again.counts).not.toHaveProperty('storeMigrated');
  });

  it('comes to the layout that a new store has', () => {
    const schema = (file: string) => {
      const db = new Sqlite(file, { readonly: true });
      const rows = db.prepare('SELECT type, name, sql FROM sqlite_schema ORDER BY type, name').all();
      db.close();
      return rows;
    };
    const fresh = tempDir();
    openStore(fresh);
    const old = storeOfLayout(1);
    openStore(old);
    expect(schema(join(old, FILE))).toEqual(schema(join(fresh, FILE)));
  });

  it('stays as it was when a step fails, says so in one sentence, and is brought up when it can', () => {
    const directory = storeOfLayout(1);
    const file = join(directory, FILE);
    const db = new Sqlite(file);
    db.exec('CREATE TABLE judgements (in_the_way)');
    db.close();
    const before = rowsOf(file);
    expect(() => openStore(directory)).toThrow(/could not be brought from layout 1 .*nothing of it was lost/);
    expect(rowsOf(file)).toEqual(before);
    expect(existsSync(`${file}.layout-1`)).toBe(true);
    // A copy that was cut off is no copy.
    writeFileSync(`${file}.layout-1.part`, 'half');
    const mended = new Sqlite(file);
    mended.exec('DROP TABLE judgements');
    mended.close();
    openStore(directory);
    expect(readdirSync(directory)).toContain(`${FILE}.layout-1`);
  });

  it('is backed up and restored as it is', () => {
    const db = new Sqlite(join(storeOfLayout(1), FILE), { readonly: true });
    expect(storeFacts(db)).toMatchObject({ layout: 1, counts: { records: RECORDS } });
    db.close();
  });
});

describe('steps between layouts', () => {
  it('once released are never edited: stores out there were made by exactly these', () => {
    // SHA-256 of each step as first used; a new layout adds a line, none is ever changed.
    const known = ['fdf3d95bb48ec258', 'd8d585a0252f2270', '60c52ac5673b3f5a'];
    const found = MIGRATIONS.slice(0, known.length).map(step =>
      createHash('sha256').update(step).digest('hex').slice(0, 16),
    );
    expect(found).toEqual(known);
  });
});
