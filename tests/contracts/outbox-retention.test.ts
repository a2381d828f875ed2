/** The outbox on a disk that fills up: what gives way, in which order, and what never does. */
import { createHash } from 'node:crypto';
import { existsSync, statSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import { type RecordBody, recordBodySchema } from '#core/messages/record';
import { fromBase64 } from '#core/sample/base64';
import { decodeChunk } from '#core/sample/codec';
import type { DiskSpace } from '../../edge/outbox/disk-room.ts';
import { OutboxStore } from '../../edge/outbox/outbox-store.ts';
import type { PendingBatch, ReducedRange } from '../../edge/outbox/outbox-types.ts';
import { tempDir } from '../support/temp-dir.ts';
import { START_MS, testBody, testChunk, testEvent, testPass } from '../support/test-records.ts';

const MIB = 1024 * 1024;
/** Batches kept whole while any other can give way (docs/edge.md). */
const NEWEST = 600;

let path = '';
let ms = 0;
let disk: DiskSpace = { freeBytes: 0, totalBytes: 0 };
beforeEach(() => {
  path = join(tempDir(), 'edge.db');
  ms = 0;
  disk = { freeBytes: 900 * MIB, totalBytes: 1000 * MIB };
});

function makeStore(budgetBytes: number | null = null, reserveBytes: number | null = null): OutboxStore {
  const store = new OutboxStore({
    path,
    requiredStores: ['truck'],
    budget: { budgetBytes, reserveBytes },
    disk: () => disk,
    monotonicMs: () => ms,
    wallMs: () => START_MS,
  });
  onTestFinished(() => store.close());
  return store;
}

/** One second of samples, in every tenth batch an event, in every hundredth a pass. */
function body(seq: number): RecordBody {
  return testBody({
    chunk: testChunk(START_MS * 1000 + seq * 1e6, 100, 100, i => 200 + ((i * 7 + seq) % 60)),
    events: seq % 10 === 0 ? [testEvent(seq)] : [],
    passes: seq % 100 === 0 ? [testPass(seq)] : [],
  });
}

function append(store: OutboxStore, count: number, from = 1): void {
  const batches: PendingBatch[] = Array.from({ length: count }, (_, i) => ({
    body: JSON.stringify(body(from + i)),
    closedUs: START_MS * 1000 + (from + i + 1) * 1e6,
    closedUtcMs: START_MS + (from + i + 1) * 1000,
    state: {},
  }));
  for (let i = 0; i < count; i += 50) store.append(batches.slice(i, i + 50));
}

const hashesOf = (store: OutboxStore): string[] => store.read(1, 1e6, 1e9).map(({ hash }) => hash);

function acknowledge(store: OutboxStore, stream: string, upto: number): void {
  const [row] = store.read(upto, 1, 1e9);
  expect(store.acknowledge({ store: 'truck', stream, upto, head: row!.hash })).toBe('accepted');
}

function makeRoom(store: OutboxStore): ReducedRange[] {
  const ranges: ReducedRange[] = [];
  for (let more = true; more; ) {
    const made = store.makeRoom();
    ranges.push(...made.reduced);
    more = made.more;
  }
  return ranges;
}

const parsed = (text: string): RecordBody => recordBodySchema.parse(JSON.parse(text));
const sha256 = (...lines: string[]): string => createHash('sha256').update(lines.join('\n')).digest('hex');

describe('when the disk has room', () => {
  it('nothing gives way', () => {
    const store = makeStore();
    store.open();
    append(store, NEWEST + 100);
    expect(makeRoom(store)).toEqual([]);
    expect(store.stats()).toMatchObject({ pruned: 0, thinned: 0, thinnedWaiting: false, ballast: 'ready' });
    expect(store.stats().oldestWholeUs).toBe(START_MS * 1000 + 2e6);
  });

  it('the days left are what is available by what was written in the time measured', () => {
    const store = makeStore(null, 100 * MIB);
    store.open();
    append(store, 100);
    expect(store.stats().daysLeft).toBeNull();
    ms = 12 * 60_000;
    append(store, 100, 101);
    const { availableBytes, daysLeft } = store.stats();
    expect(availableBytes).toBeLessThanOrEqual(800 * MIB);
    expect(availableBytes).toBeGreaterThan(790 * MIB);
    // 200 batches in 12 min are 24,000 a day.
    const perBatch = store.read(1, 200, 1e9).reduce((sum, row) => sum + row.body.length + 300, 0) / 200;
    expect(daysLeft).toBeCloseTo(availableBytes! / (24_000 * perBatch), 3);
  });
});

describe('at the reserve', () => {
  it('samples that every required store has go first; events, passes and the newest batches stay', () => {
    const store = makeStore();
    const { stream } = store.open();
    append(store, NEWEST + 400);
    const hashes = hashesOf(store);
    acknowledge(store, stream, 300);
    disk = { ...disk, freeBytes: 10 * MIB };
    const ranges = makeRoom(store);
    expect(ranges.map(({ to }) => to)).toEqual(['pruned', 'pruned', 'pruned', 'thinned']);
    expect(ranges[0]).toMatchObject({ fromSeq: 1, toSeq: 100, batches: 100 });

    const rows = store.read(1, 1e6, 1e9);
    expect(rows.map(({ hash }) => hash)).toEqual(hashes);
    for (const row of rows) {
      const expected = row.seq <= 300 ? 'pruned' : row.seq <= 400 ? 'thinned' : undefined;
      expect(row.reduced?.to).toBe(expected);
      if (row.reduced) expect(row.reduced.bodyHash).toBe(sha256('girthlog.reduced/1', row.hash, row.body));
      if (row.reduced?.to === 'pruned' && row.seq % 10 !== 0) expect(row.body).toBe('');
      else {
        expect(parsed(row.body).events).toEqual(body(row.seq).events);
        expect(parsed(row.body).passes).toEqual(body(row.seq).passes);
      }
    }
    expect(store.stats()).toMatchObject({ pruned: 300, thinned: 100, thinnedWaiting: true });
    // Its own word for what is left: the digest of the first range.
    const left = rows.slice(0, 100).map(row => row.reduced!.bodyHash);
    expect(ranges[0]!.digest).toBe(createHash('sha256').update(left.join('')).digest('hex'));
  });

  it('a thinned batch holds least, mean and greatest of its second, and says how many samples there were', () => {
    const store = makeStore();
    store.open();
    append(store, NEWEST + 1);
    disk = { ...disk, freeBytes: 10 * MIB };
    makeRoom(store);
    const [row] = store.read(1, 1, 1e9);
    const { samples, reduced } = parsed(row!.body);
    const amps = Array.from({ length: 100 }, (_, i) => 200 + ((i * 7 + 1) % 60));
    const chunk = decodeChunk(fromBase64(samples!.data));
    expect(chunk.n).toBe(1);
    expect(chunk.lengthUs?.[0]).toBe(1e6);
    expect(chunk.columns.weldingCurrent?.[0]).toBeCloseTo(amps.reduce((a, b) => a + b) / 100, 1);
    expect(reduced).toMatchObject({ n: 100, lastUs: START_MS * 1000 + 1e6 + 990_000 });
    expect(reduced!.extremes.weldingCurrent).toEqual([[Math.min(...amps), Math.max(...amps)]]);
  });

  it('what was thinned and is delivered after all is pruned in its turn', () => {
    const store = makeStore();
    const { stream } = store.open();
    append(store, NEWEST + 100);
    disk = { ...disk, freeBytes: 10 * MIB };
    makeRoom(store);
    acknowledge(store, stream, 100);
    expect(store.stats()).toMatchObject({ thinned: 100, thinnedWaiting: false });
    expect(makeRoom(store)).toMatchObject([{ to: 'pruned', fromSeq: 1, toSeq: 100, batches: 100 }]);
    expect(store.stats()).toMatchObject({ thinned: 0, pruned: 100 });
  });

  it('reopening finds the chain sound, goes on where it stood, and sees a changed reduced body', () => {
    const store = makeStore();
    const { stream } = store.open();
    append(store, NEWEST + 100);
    disk = { ...disk, freeBytes: 10 * MIB };
    makeRoom(store);
    store.close();
    const again = makeStore();
    expect(again.open()).toMatchObject({ stream, committedSeq: NEWEST + 100, quarantine: null });
    expect(again.stats()).toMatchObject({ thinned: 100, thinnedWaiting: true });
    expect(makeRoom(again)).toEqual([]);
    again.close();
    const db = new Database(path);
    db.prepare("UPDATE batch SET body = replace(body, 'true', 'false') || ' ' WHERE seq = 7").run();
    db.close();
    expect(makeStore().open().quarantine?.reason).toBe('batch 7 does not match its hash');
  });

  it('a damaged batch is left as it is', () => {
    const store = makeStore();
    const { stream } = store.open();
    append(store, NEWEST + 100);
    acknowledge(store, stream, 100);
    const db = new Database(path);
    db.prepare("UPDATE batch SET body = body || ' ' WHERE seq = 7").run();
    db.close();
    disk = { ...disk, freeBytes: 10 * MIB };
    expect(makeRoom(store)).toMatchObject([{ to: 'pruned', batches: 99 }]);
    expect(() => store.read(7, 1, 1e9)).toThrow(/batch 7 does not match its hash/);
  });

  it('a store that lost what gave way here learns how much of it is not whole', () => {
    const store = makeStore();
    const { stream } = store.open();
    append(store, NEWEST + 100);
    const hashes = hashesOf(store);
    acknowledge(store, stream, NEWEST + 100);
    disk = { ...disk, freeBytes: 10 * MIB };
    makeRoom(store);
    expect(store.acknowledge({ store: 'truck', stream, upto: 40, head: hashes[39]! })).toBe('rewound');
    expect(store.reducedFrom(41)).toBe(60);
    expect(store.read(41, 1, 1e9)[0]?.reduced?.to).toBe('pruned');
  });
});

describe('a budget', () => {
  it('is kept by store, log and ballast together, however much is written', () => {
    const budget = 16 * MIB;
    const store = makeStore(budget);
    const { stream } = store.open();
    const size = (): number =>
      ['', '-wal', '.ballast'].reduce((sum, part) => {
        return sum + (existsSync(path + part) ? statSync(path + part).size : 0);
      }, 0);
    let largest = 0;
    for (let from = 1; from <= 20_000; from += 100) {
      append(store, 100, from);
      acknowledge(store, stream, from + 99);
      makeRoom(store);
      largest = Math.max(largest, size());
    }
    expect(store.stats().pruned).toBeGreaterThan(5000);
    expect(largest).toBeLessThanOrEqual(budget);
    expect(store.stats().bytes).toBe(size());
  });
});
