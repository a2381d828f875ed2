/** A store of every layout there ever was, with data in it, brought to the present one. */
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { storeFacts } from '../../../dashboard/server/backup/store-facts.ts';
import { migrate } from '../../../dashboard/server/store/migrate.ts';
import { LAYOUT, MIGRATIONS } from '../../../dashboard/server/store/migrations.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { tempDir } from '../../support/temp-dir.ts';
import {
  EXAMPLE_PROCEDURE,
  STREAM,
  testChain,
  testDeviation,
  testEvent,
  testPass,
} from '../../support/test-records.ts';
import { openStore } from '../../support/test-store.ts';
import { verifyChain } from '../../support/verify-chain.ts';
import { AT, chain } from './store-support.ts';

const FILE = 'dashboard.sqlite3';
const RECORDS = 12;
/** From this layout on the hash is bytes, and when a record came a number. */
const PACKED_SINCE = 15;

/** A store as a dashboard of that time left it: its steps, and rows in each table it had. */
function storeOfLayout(layout: number): string {
  const directory = tempDir();
  const file = join(directory, FILE);
  const db = new Sqlite(file);
  db.pragma('journal_mode = WAL');
  db.pragma('foreign_keys = ON');
  migrate(db, file, layout);
  const insert = (table: string, row: Record<string, unknown>): void => {
    const columns = Object.keys(row);
    const values = columns.map(column => `@${column}`).join(', ');
    db.prepare(`INSERT INTO ${table} (${columns.join(', ')}) VALUES (${values})`).run(row);
  };
  const records = testChain(RECORDS);
  insert('rigs', { site: 'spread-1', rig: 'rig-a', place: 0, first_seen: AT, origin: 'simulated' });
  insert('streams', {
    ...{ id: 1, site: 'spread-1', rig: 'rig-a', stream: STREAM, origin: 'simulated', first_seq: 1 },
    ...{ upto: RECORDS, head: records.at(-1)!.hash, last_received: AT },
  });
  for (const { seq, prev, hash, origin, body } of records) {
    const came =
      layout < PACKED_SINCE
        ? { hash, received_at: AT }
        : { hash_bytes: Buffer.from(hash, 'hex'), received_ms: Date.parse(AT) };
    insert('records', { stream_id: 1, seq, prev, ...came, origin, unreadable: null, body });
    insert('chunks', {
      ...{
        stream_id: 1,
        seq,
        first_us: seq,
        last_us: seq + 1,
        period_us: 10,
        first_utc_ms: 0,
        last_utc_ms: 1,
      },
      ...{ utc_minus_record_ms: 0, n: 1, gaps: '[]', extremes: '{}', data: Buffer.from([seq]) },
    });
  }
  insert('record_conflicts', {
    stream_id: 1,
    seq: 3,
    prev: 'p',
    hash: 'h',
    origin: 'simulated',
    received_at: AT,
    body: '',
  });
  const pass = testPass(1, { deviations: [testDeviation(1)] });
  const { passId, origin, site, rig, joint, startUtc, endUtc } = pass;
  insert('passes', {
    ...{
      pass_id: passId,
      stream_id: 1,
      seq: 2,
      origin,
      site,
      rig,
      joint,
      start_utc: startUtc,
      end_utc: endUtc,
    },
    ...{ deviations: 1, message: JSON.stringify(pass) },
  });
  insert('deviations', {
    ...{ pass_id: passId, n: 0, origin, site, rig, joint, side: 'A', procedure_pass: 'fill 1', at_utc: AT },
    deviation: JSON.stringify(pass.deviations[0]),
  });
  const event = testEvent(1);
  const { id: event_id, at, type } = event;
  insert('events', { stream_id: 1, event_id, site, rig, at, type, message: JSON.stringify(event) });
  insert('procedures', {
    id: 'example-610',
    revision: 1,
    at: AT,
    author: 'p-1',
    document: JSON.stringify(EXAMPLE_PROCEDURE),
  });
  insert('assignments', { id: 'a-1', site, rig, at: AT, author: 'p-1', work: null });
  insert('people_changes', { person_id: 'p-1', at: AT, name: 'A. Example', roles: '["inspector"]' });
  if (layout >= 2) {
    insert('journal', {
      ...{
        id: 'e-1',
        at: AT,
        origin: 'real',
        author: 'p-1',
        shift_date: '2026-05-12',
        reason: null,
        corrects: null,
      },
      ...{ kind: 'consumables', subject: 'joint:J-0001' },
      body: JSON.stringify({ kind: 'consumables', joint: 'J-0001', wireLot: 'W-1' }),
    });
    insert('judgements', { entry_id: 'e-1', answer: '{}' });
  }
  db.close();
  return directory;
}

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

  it.each(older)(
    'layout %i: damaged when it is to be brought up, what people entered is carried over',
    layout => {
      const directory = storeOfLayout(layout);
      const db = new Sqlite(join(directory, FILE));
      db.exec(`UPDATE records SET body = replace(body, 'simulated', 'real') WHERE seq = ${RECORDS - 2}`);
      db.close();
      const quarantined: unknown[] = [];
      const store = openStore(directory, {
        counts: {},
        report: (name, fields) => name === 'storeQuarantined' && quarantined.push(fields),
      });
      expect(quarantined).toMatchObject([{ lost: [] }]);
      expect(store.people()).toMatchObject([{ name: 'A. Example' }]);
      expect(store.procedures()).toHaveLength(1);
      if (layout >= 2) expect(store.journal.entry('e-1')).toMatchObject({ author: 'p-1' });
      expect(store.rigs()).toMatchObject([{ rig: 'rig-a', origin: 'simulated' }]);
      expect(store.commitRecords(chain(RECORDS), AT).streams).toMatchObject([{ upto: RECORDS }]);
    },
  );

  it('leaves no half copy behind that takes the room a person was told to make', () => {
    const directory = storeOfLayout(14);
    const file = join(directory, FILE);
    const db = new Sqlite(file);
    // Larger than what is looked at whole at the start: a page that only a copy of everything comes upon.
    db.pragma('journal_mode = DELETE');
    const page = db
      .prepare(`SELECT rootpage FROM sqlite_schema WHERE name = 'record_conflicts'`)
      .pluck()
      .get();
    const size = db.pragma('page_size', { simple: true }) as number;
    db.close();
    const bytes = readFileSync(file);
    bytes.fill(0xff, ((page as number) - 1) * size, (page as number) * size);
    writeFileSync(file, bytes);
    const damaged = new Sqlite(file);
    expect(() => migrate(damaged, file)).toThrow(/malformed/);
    damaged.close();
    expect(readdirSync(directory)).toEqual([FILE]);
  });

  it('is not touched where the disk has no room for what bringing it up takes, and a person is told how much', () => {
    const directory = storeOfLayout(14);
    const file = join(directory, FILE);
    const db = new Sqlite(file);
    expect(() => migrate(db, file, LAYOUT, () => 17e6)).toThrow(
      /needs \d+ MB while it is done: .* has 17 MB\. Nothing was changed/,
    );
    expect(db.pragma('user_version', { simple: true })).toBe(14);
    db.close();
    expect(readdirSync(directory)).toEqual([FILE]);
    // Of a disk that does not say, the steps themselves find out.
    const again = new Sqlite(file);
    expect(migrate(again, file, LAYOUT, () => null)).toBe(LAYOUT - 14);
    again.close();
  });

  it('is copied anew where the version before went on with it after a step had failed', () => {
    const directory = storeOfLayout(1);
    const file = join(directory, FILE);
    const db = new Sqlite(file);
    db.exec('CREATE TABLE judgements (in_the_way)');
    expect(() => openStore(directory)).toThrow(/could not be brought/);
    const copy = `${file}.layout-1`;
    const first = statSync(copy).ino;
    expect(() => openStore(directory)).toThrow(/could not be brought/);
    // Nothing new in it: the copy that is there is as good, and another would need room again.
    expect(statSync(copy).ino).toBe(first);
    db.exec('DROP TABLE judgements');
    db.prepare('INSERT INTO people_changes (person_id, at, name, roles) VALUES (?, ?, ?, ?)').run(
      'p-2',
      AT,
      'B. Example',
      '[]',
    );
    db.close();
    openStore(directory);
    const kept = new Sqlite(copy, { readonly: true });
    expect(kept.prepare('SELECT name FROM people_changes').pluck().all()).toEqual([
      'A. Example',
      'B. Example',
    ]);
    kept.close();
    expect(statSync(copy).mode & 0o777).toBe(0o600);
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
