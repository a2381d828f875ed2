/**
 * Settled records: the text that was hashed comes back byte for byte, what cannot come back stays as it came, and a
 * change of a settled stretch does not go unseen. The hash is that of docs/edge.md, computed here from the text.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { CHAIN_START, recordHashInput } from '#core/record/chain';
import { readSamples } from '../../../dashboard/server/api/sample-reader.ts';
import { restoreBackup } from '../../../dashboard/server/backup/restore-backup.ts';
import { writeBackup } from '../../../dashboard/server/backup/write-backup.ts';
import type { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { sealedStore } from '../../support/sealed-store.ts';
import { tempDir } from '../../support/temp-dir.ts';
import {
  START_MS,
  STREAM,
  seal,
  sha256,
  testBody,
  testChunk,
  testEvent,
  testPass,
} from '../../support/test-records.ts';
import { openDatabase, openStore } from '../../support/test-store.ts';
import { AT, chain, RIG, verified } from './store-support.ts';

const HOUR_MS = 3_600_000;
const LATER_MS = START_MS + 2 * HOUR_MS;
const START_US = START_MS * 1000;

function settleAll(store: SqliteStore, nowMs = LATER_MS): number {
  let steps = 0;
  while (store.settling.step(nowMs)) steps++;
  return steps;
}

/** Every record's text as whoever reads the store gets it. */
function bodiesOf(store: SqliteStore): string[] {
  return store.recordsAfter(0, 10_000).map(({ body }) => body);
}

/** A hundred records that came so many seconds from now. */
function openStoreWithAhead(seconds: number): SqliteStore {
  const store = openStore(tempDir());
  store.commitRecords(chain(100), new Date(START_MS + seconds * 1000).toISOString());
  return store;
}

describe('settling', () => {
  it('gives every text back byte for byte, in a fraction of the room, and the same answers', () => {
    const directory = tempDir();
    const store = openStore(directory);
    store.commitRecords(chain(200), AT);
    const before = bodiesOf(store);
    const range = { kind: 'record', fromUs: START_US, toUs: START_US + 200e6 } as const;
    const answers = () => [1, 7, 20, 100, 1000].map(points => readSamples(store, RIG, range, { points }));
    const answered = answers();
    const db = openDatabase(directory);
    const room = () =>
      db
        .prepare(
          `SELECT (SELECT sum(length(body)) FROM records) + (SELECT coalesce(sum(length(data)), 0) FROM chunks)
             + (SELECT coalesce(sum(length(data) + length(texts) + length(zoom)), 0) FROM stretches)`,
        )
        .pluck()
        .get() as number;
    const roomBefore = room();
    expect(settleAll(store)).toBe(3);
    expect(db.prepare('SELECT count(*) FROM chunks').pluck().get()).toBe(0);
    expect(bodiesOf(store)).toEqual(before);
    expect(answers()).toEqual(answered);
    expect(room()).toBeLessThan(roomBefore / 5);
    // The chain, from the texts that were read.
    let prev = CHAIN_START;
    bodiesOf(store).forEach((body, i) => {
      prev = sha256(recordHashInput({ prev, stream: STREAM, seq: i + 1, body }));
    });
    expect(store.newestStream(RIG)).toMatchObject({ upto: 200, head: prev });
  });

  it('waits until a run is whole and old, and takes no record beyond the watermark', () => {
    const store = openStore(tempDir());
    const records = chain(200);
    store.commitRecords(records.slice(0, 100), AT);
    expect(store.settling.step(START_MS + 60_000)).toBe(false);
    // Eighty seconds are a stretch; the other twenty wait for more.
    expect(settleAll(store, START_MS + 15 * 60_000)).toBe(1);
    expect(settleAll(store, START_MS + 2 * HOUR_MS)).toBe(1);
    // Record 101 is missing: what follows is acknowledged to nobody.
    store.commitRecords(records.slice(101), AT);
    expect(settleAll(store)).toBe(0);
    store.commitRecords([records[100]!], AT);
    expect(settleAll(store)).toBe(2);
  });

  it('does not wait for a clock that was ahead when records came: they and what follows would lie loose for as long', () => {
    const directory = tempDir();
    const store = openStore(directory);
    const records = chain(200);
    const ahead = new Date(START_MS + 300 * 24 * HOUR_MS).toISOString();
    store.commitRecords(records.slice(0, 100), ahead);
    store.commitRecords(records.slice(100), AT);
    const before = bodiesOf(store);
    // A clock that is put by a little makes nothing old.
    expect(settleAll(openStoreWithAhead(600), START_MS)).toBe(0);
    expect(settleAll(store, START_MS + 2 * HOUR_MS)).toBe(3);
    expect(bodiesOf(store)).toEqual(before);
  });

  it('finds what lies around a record, whose text or samples it does not understand', () => {
    const directory = tempDir();
    const store = openStore(directory);
    const odd = JSON.stringify(testBody({ chunk: testChunk(START_US + 5e6) })).replace('"n":100', '"n": 100');
    let prev = CHAIN_START;
    const records = Array.from({ length: 10 }, (_, i) => {
      const body = i === 5 ? odd : JSON.stringify(testBody({ chunk: testChunk(START_US + i * 1e6) }));
      const record = seal(body, i + 1, prev);
      prev = record.hash;
      return verified(record);
    });
    store.commitRecords(records, AT);
    const before = bodiesOf(store);
    expect(settleAll(store)).toBeGreaterThan(0);
    expect(bodiesOf(store)).toEqual(before);
    const db = openDatabase(directory);
    expect(db.prepare('SELECT seq FROM records WHERE settled = 0').pluck().all()).toEqual([6]);
    expect(db.prepare('SELECT count(*) FROM records WHERE settled > 0').pluck().get()).toBe(9);
  });

  it('keeps what the wall clock read of each sample, over a step of the clock', () => {
    const store = openStore(tempDir());
    let prev = CHAIN_START;
    const records = Array.from({ length: 20 }, (_, i) => {
      const utcMinusRecordMs = i < 5 ? 5000 : i < 10 ? 5200 : -3_600_000;
      const body = JSON.stringify(testBody({ chunk: testChunk(START_US + i * 1e6), utcMinusRecordMs }));
      const record = seal(body, i + 1, prev);
      prev = record.hash;
      return verified(record);
    });
    store.commitRecords(records, AT);
    const spanAt = (ms: number) =>
      store.sampleSpan(RIG, { kind: 'utc', fromMs: START_MS + ms, toMs: START_MS + ms + 1000 });
    const moments = [5000, 9000, 13_200, -3_600_000 + 12_000];
    const before = moments.map(ms => spanAt(ms)!.fromUs);
    expect(before).toEqual([START_US, START_US + 4e6, START_US + 8e6, START_US + 12e6]);
    settleAll(store);
    expect(moments.map(ms => spanAt(ms)!.fromUs)).toEqual(before);
    expect(spanAt(5000)!.chunks[0]!.wall).toEqual([
      [START_US, 5000],
      [START_US + 5e6, 5200],
    ]);
  });

  it('cut off in the middle of a step leaves the store as it was', () => {
    const directory = tempDir();
    const store = openStore(directory);
    store.commitRecords(chain(100), AT);
    const db = openDatabase(directory);
    db.exec(`CREATE TRIGGER full BEFORE DELETE ON chunks WHEN old.seq = 50
      BEGIN SELECT RAISE(ABORT, 'no room'); END`);
    const before = bodiesOf(store);
    expect(() => store.settling.step(LATER_MS)).toThrow('no room');
    expect(db.prepare('SELECT count(*) FROM stretches').pluck().get()).toBe(0);
    expect(bodiesOf(store)).toEqual(before);
    db.exec('DROP TRIGGER full');
    expect(settleAll(store)).toBe(2);
    expect(bodiesOf(store)).toEqual(before);
  });

  it('after a power cut at any byte of what it wrote is as before the step or after it', () => {
    const directory = tempDir();
    const store = openStore(directory);
    store.commitRecords(chain(90), AT);
    const before = bodiesOf(store);
    expect(store.health.truncateLog()).toBe(true);
    expect(store.settling.step(LATER_MS)).toBe(true);
    const file = readFileSync(join(directory, 'dashboard.sqlite3'));
    const log = readFileSync(join(directory, 'dashboard.sqlite3-wal'));
    const seen = new Set<number>();
    for (let part = 0; part <= 12; part++) {
      const cut = tempDir();
      writeFileSync(join(cut, 'dashboard.sqlite3'), file);
      writeFileSync(
        join(cut, 'dashboard.sqlite3-wal'),
        log.subarray(0, Math.floor((log.length * part) / 12) - (part === 12 ? 0 : part)),
      );
      const events = recordedEvents();
      const again = openStore(cut, events);
      expect(events.counts).not.toHaveProperty('storeQuarantined');
      expect(bodiesOf(again)).toEqual(before);
      seen.add(openDatabase(cut).prepare('SELECT count(*) FROM stretches').pluck().get() as number);
      settleAll(again);
      expect(bodiesOf(again)).toEqual(before);
    }
    expect(seen).toEqual(new Set([0, 1]));
  });

  it('is opened, backed up, restored and verified as it was', async () => {
    const { directory, verify } = await sealedStore();
    const store = openStore(directory);
    const before = bodiesOf(store);
    expect(settleAll(store)).toBeGreaterThan(0);
    expect(verify()).toMatchObject({ fits: true });
    store.close();
    const events = recordedEvents();
    const again = openStore(directory, events);
    expect(events.counts).not.toHaveProperty('storeQuarantined');
    expect(bodiesOf(again)).toEqual(before);
    const file = join(tempDir(), 'backup.tar.gz');
    await writeBackup({
      ...{ data: directory, file, withKeys: true, sqlite: Sqlite, software: 't' },
      now: () => new Date(START_MS),
      onProgress: () => {},
    });
    const into = join(tempDir(), 'back');
    await restoreBackup({ file, into, sqlite: Sqlite, onProgress: () => {} });
    const restored = openStore(into);
    expect(bodiesOf(restored)).toEqual(before);
    expect(restored.newestStream(RIG)).toEqual(again.newestStream(RIG));
  });

  it('answers an edge that sends a settled record again, and one that sends another in its place', () => {
    const store = openStore(tempDir());
    const records = chain(100, { events: [testEvent(1)], passes: [testPass(1)] });
    store.commitRecords(records, AT);
    settleAll(store);
    expect(new Set(store.commitRecords(records, AT).outcomes)).toEqual(new Set(['duplicate']));
    const other = verified(seal(JSON.stringify(testBody({ chunk: testChunk(START_US) })), 3, CHAIN_START));
    expect(store.commitRecords([other], AT).outcomes).toEqual(['conflict']);
  });
});

describe('a settled stretch that was changed', () => {
  const tampers: readonly [string, string][] = [
    ['its samples', 'UPDATE stretches SET data = ? WHERE id = 1'],
    ['its texts', 'UPDATE stretches SET texts = ? WHERE id = 1'],
    ['it is gone', 'DELETE FROM stretches WHERE ? IS NOT NULL'],
    [
      'what a row keeps of its text',
      'UPDATE records SET body = replace(body, \'"text"\', \'"Text"\') WHERE ? IS NOT NULL',
    ],
    ['the hash of a record', 'UPDATE records SET hash_bytes = zeroblob(32) WHERE ? IS NOT NULL AND seq = 4'],
    ['records point at no stretch', 'UPDATE records SET settled = 7 WHERE ? IS NOT NULL AND seq = 4'],
  ];

  it.each(tampers)('shows: %s', async (_, sql) => {
    const { directory, verify } = await sealedStore();
    const store = openStore(directory);
    settleAll(store);
    store.close();
    const db = openDatabase(directory);
    const row = db.prepare('SELECT data, texts FROM stretches WHERE id = 1').get() as {
      data: Buffer;
      texts: Buffer;
    };
    const bytes = Buffer.from(sql.includes('texts') ? row.texts : row.data);
    bytes[bytes.length >> 1]! ^= 0x10;
    expect(db.prepare(sql).run(bytes).changes).toBeGreaterThan(0);
    expect(verify()).toMatchObject({ fits: false });
  });

  it('shows at the next start where it is the newest, as any newest record does', () => {
    const directory = tempDir();
    const store = openStore(directory);
    store.commitRecords(chain(100), AT);
    settleAll(store);
    store.close();
    const db = openDatabase(directory);
    db.exec('UPDATE stretches SET data = zeroblob(length(data)) WHERE id = (SELECT max(id) FROM stretches)');
    db.close();
    const events = recordedEvents();
    openStore(directory, events);
    expect(events.counts).toMatchObject({ storeQuarantined: 1 });
  });

  it('shows: one bit of its samples or texts, wherever it lies', async () => {
    const { directory, verify } = await sealedStore();
    const store = openStore(directory);
    settleAll(store);
    store.close();
    const db = openDatabase(directory);
    for (const column of ['data', 'texts']) {
      const whole = db.prepare(`SELECT ${column} FROM stretches WHERE id = 1`).pluck().get() as Buffer;
      const put = db.prepare(`UPDATE stretches SET ${column} = ? WHERE id = 1`);
      for (let at = 0; at < whole.length; at += 7) {
        const bytes = Buffer.from(whole);
        bytes[at]! ^= 1 << (at % 8);
        put.run(bytes);
        const { fits } = verify();
        // A bit that nothing is read from, such as the padding of the last byte, changes nothing.
        if (fits) expect(at).toBe(whole.length - 1);
      }
      put.run(whole);
    }
    expect(verify()).toMatchObject({ fits: true });
  });
});
