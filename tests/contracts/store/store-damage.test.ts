/** The dashboard's store after its file was damaged: found at the start, moved aside whole, and work goes on. */
import { cpSync, existsSync, readdirSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { Pcg32 } from '../../../simulator/random/pcg32.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { openStore } from '../../support/test-store.ts';
import { AT, chain } from './store-support.ts';

const FILE = 'dashboard.sqlite3';
const RECORDS = 60;

/** A store that was closed properly, with records and what people entered. */
function filled(): { directory: string; file: string } {
  const directory = tempDir();
  const store = openStore(directory);
  store.commitRecords(chain(RECORDS), AT);
  store.addPerson({ id: 'p-1', name: 'A. Example', roles: ['inspector'] }, AT);
  store.journal.add({
    id: 'e-1',
    at: AT,
    origin: 'real',
    author: 'p-1',
    shiftDate: '2026-05-12',
    reason: null,
    corrects: null,
    body: { kind: 'consumables', joint: 'J-0001', wireLot: 'W-1' },
  });
  store.close();
  return { directory, file: join(directory, FILE) };
}

/** Opens it; whether it was moved aside. */
function opened(directory: string) {
  const events = recordedEvents();
  const store = openStore(directory, events);
  return { store, quarantined: events.counts['storeQuarantined'] === 1 };
}

/** The store takes the same records as if for the first time. */
function goesOn(store: ReturnType<typeof openStore>): void {
  expect(store.streamStates()).toEqual([]);
  expect(store.commitRecords(chain(RECORDS), AT).streams).toMatchObject([{ upto: RECORDS }]);
}

function recordsIn(file: string): string | null {
  try {
    const db = new Sqlite(file, { readonly: true });
    try {
      return JSON.stringify([
        db.prepare('SELECT seq, prev, hash, body FROM records ORDER BY seq').all(),
        db.prepare('SELECT site, rig, stream, first_seq, upto, head FROM streams').all(),
      ]);
    } finally {
      db.close();
    }
  } catch {
    return null;
  }
}

describe('a damaged store', () => {
  it('is found by any flipped bit that changes a record, and by none that changes nothing', () => {
    const { directory, file } = filled();
    const copies = tempDir();
    const whole = readFileSync(file);
    const before = recordsIn(file);
    const random = new Pcg32([0, 19], [0, 1]);
    const below = (n: number): number => random.nextUint32() % n;
    // Half of the bits inside records, half anywhere in the file.
    const bodies: number[] = [];
    for (
      let at = whole.indexOf('girthlog.record/1');
      at >= 0;
      at = whole.indexOf('girthlog.record/1', at + 1)
    )
      bodies.push(at);
    // A few stand twice: what is left in pages that were split.
    expect(bodies.length).toBeGreaterThanOrEqual(RECORDS);
    let found = 0;
    for (let i = 0; i < 40; i++) {
      const copy = join(copies, `flip-${i}`);
      cpSync(directory, copy, { recursive: true });
      const bytes = Buffer.from(whole);
      const at = i < 20 ? bodies[below(bodies.length)]! + below(300) : below(bytes.length);
      bytes[at]! ^= 1 << below(8);
      writeFileSync(join(copy, FILE), bytes);
      const changed = recordsIn(join(copy, FILE)) !== before;
      const { quarantined, store } = opened(copy);
      store.close();
      expect(quarantined || !changed, `bit of byte ${at}, flip ${i}`).toBe(true);
      if (quarantined) expect(readFileSync(join(copy, firstAside(copy))).equals(bytes)).toBe(true);
      if (i < 20) found += Number(changed && quarantined);
    }
    expect(found).toBeGreaterThanOrEqual(15);
  });

  it('is moved aside whole when it was cut short, emptied or overwritten, and what people entered stays', () => {
    const breaks: Record<string, (file: string) => void> = {
      cutShort: file => truncateSync(file, 4096 * 5),
      oddLength: file => truncateSync(file, readFileSync(file).length - 1000),
      emptied: file => truncateSync(file, 0),
      otherDatabase: file => {
        rmSync(file);
        const db = new Sqlite(file);
        db.exec('CREATE TABLE things (a)');
        db.close();
      },
      noDatabase: file => writeFileSync(file, 'no database at all '.repeat(500)),
    };
    for (const [name, damage] of Object.entries(breaks)) {
      const { directory, file } = filled();
      damage(file);
      const damaged = readFileSync(file);
      const { store, quarantined } = opened(directory);
      expect(quarantined, name).toBe(true);
      expect(readFileSync(join(directory, firstAside(directory))).equals(damaged), name).toBe(true);
      expect(store.health.setAside(), name).toEqual([join(directory, firstAside(directory))]);
      goesOn(store);
    }
  });

  it('keeps people and journal when only a record was changed', () => {
    const { directory, file } = filled();
    const db = new Sqlite(file);
    db.exec(
      `UPDATE records SET body = replace(body, '"origin":"simulated"', '"origin":"real"') WHERE seq = 40`,
    );
    db.close();
    const { store, quarantined } = opened(directory);
    expect(quarantined).toBe(true);
    expect(store.people()).toMatchObject([{ id: 'p-1' }]);
    expect(store.journal.entry('e-1')).toMatchObject({ author: 'p-1' });
    goesOn(store);
    store.close();
    // Once is enough: the new store is whole.
    expect(opened(directory).quarantined).toBe(false);
  });

  it('takes a log with its file, and notices one that belongs to another store', () => {
    // A store that was not closed: its last commits stand in the log.
    const directory = tempDir();
    const running = openStore(directory);
    running.commitRecords(chain(RECORDS), AT);
    const killed = join(tempDir(), 'data');
    cpSync(directory, killed, { recursive: true });
    rmSync(join(killed, `${FILE}-shm`));
    const whole = opened(killed);
    expect(whole.quarantined).toBe(false);
    expect(whole.store.streamStates()).toMatchObject([{ upto: RECORDS }]);

    const emptied = join(tempDir(), 'data');
    cpSync(directory, emptied, { recursive: true });
    truncateSync(join(emptied, FILE), 0);
    expect(opened(emptied).quarantined).toBe(true);
    expect(existsSync(join(emptied, `${firstAside(emptied)}-wal`))).toBe(true);

    const mixed = filled().directory;
    cpSync(join(directory, `${FILE}-wal`), join(mixed, `${FILE}-wal`));
    const { store } = opened(mixed);
    // Either it reads as one whole store, or it is moved aside: never half of each.
    const [state] = store.streamStates();
    expect([undefined, RECORDS]).toContain(state?.upto);
    store.close();
    expect(opened(mixed).quarantined).toBe(false);
  });

  it('is not looked for in a store whose log was emptied: it is only further back', () => {
    const directory = tempDir();
    openStore(directory).commitRecords(chain(RECORDS), AT);
    const copy = join(tempDir(), 'data');
    cpSync(directory, copy, { recursive: true });
    truncateSync(join(copy, `${FILE}-wal`), 0);
    const { store, quarantined } = opened(copy);
    // Before the first checkpoint the file itself holds nothing yet.
    expect(quarantined || store.streamStates().length === 0).toBe(true);
    expect(store.commitRecords(chain(RECORDS), AT).streams).toMatchObject([{ upto: RECORDS }]);
  });
});

function firstAside(directory: string): string {
  return readdirSync(directory).find(name => /\.damaged-[0-9TZ]+$/.test(name))!;
}
