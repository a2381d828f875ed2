/** An upgrade of the store that meets damage, too little room, or a copy of an earlier try. */
import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { migrate } from '../../../dashboard/server/store/migrate.ts';
import { LAYOUT } from '../../../dashboard/server/store/migrations.ts';
import { FILE, RECORDS, storeOfLayout } from '../../support/store-of-layout.ts';
import { openStore } from '../../support/test-store.ts';
import { AT, chain } from './store-support.ts';

describe('a store that is to be brought up', () => {
  const older = Array.from({ length: LAYOUT - 1 }, (_, i) => i + 1);

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
});
