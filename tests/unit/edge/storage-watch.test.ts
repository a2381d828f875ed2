import { describe, expect, it } from 'vitest';
import { storageConditions } from '../../../edge/capture/storage-conditions.ts';
import { reserveOf, roomOf } from '../../../edge/outbox/disk-room.ts';
import { type RoomMade, StoreError, type StoreStats } from '../../../edge/outbox/outbox-types.ts';
import { daysText, levelOf, StorageWatch } from '../../../edge/outbox/storage-watch.ts';
import { WriteRate } from '../../../edge/outbox/write-rate.ts';

const MIB = 1024 * 1024;

const STATS: StoreStats = {
  bytes: 10 * MIB,
  freeBytes: 500 * MIB,
  availableBytes: 400 * MIB,
  capacityBytes: 500 * MIB,
  daysLeft: null,
  oldestWholeUs: 1,
  thinned: 0,
  pruned: 0,
  thinnedWaiting: false,
  ballast: 'ready',
};

// Worked by hand.
describe('room on a disk', () => {
  const use = { usedBytes: 100 * MIB, reusableBytes: 10 * MIB, logBytes: 0 };
  const none = { budgetBytes: null, reserveBytes: null };

  it.each([
    [64 * MIB, 1000 * MIB],
    [100 * MIB, 2000 * MIB],
    [6 * MIB, 24 * MIB],
  ])('keeps %d in reserve of %d: 64 MiB or 5 %%, at most a quarter', (reserve, totalBytes) => {
    expect(reserveOf(none, { freeBytes: 0, totalBytes })).toBe(reserve);
  });

  it('is what is free and what the file may write again, less the reserve; or what the budget leaves', () => {
    const disk = { freeBytes: 300 * MIB, totalBytes: 1000 * MIB };
    expect(roomOf(none, use, disk)).toMatchObject({ roomBytes: 246 * MIB, capacityBytes: 346 * MIB });
    const budget = { budgetBytes: 200 * MIB, reserveBytes: null };
    expect(roomOf(budget, use, disk)).toMatchObject({ roomBytes: 96 * MIB });
    expect(roomOf(budget, use, null)).toMatchObject({ roomBytes: 96 * MIB });
    expect(roomOf(none, use, null)).toBeNull();
  });
});

describe('the level of a store', () => {
  it.each([
    ['ok', {}],
    ['ok', { availableBytes: 100 * MIB, daysLeft: 7 }],
    ['low', { availableBytes: 99 * MIB }],
    ['low', { daysLeft: 6.9 }],
    ['thinning', { availableBytes: 0 }],
    ['thinning', { thinnedWaiting: true }],
    ['ok', { availableBytes: null, capacityBytes: null }],
  ] as const)('%s with %o: a warning below 20 %% or 7 days', (level, changes) => {
    expect(levelOf({ ...STATS, ...changes })).toBe(level);
  });

  it('is a condition with what to do: medium before it costs anything, high when it does', () => {
    expect(storageConditions(null, 5)).toEqual([]);
    expect(storageConditions({ level: 'ok', stats: STATS }, 5)).toEqual([]);
    const low = storageConditions({ level: 'low', stats: { ...STATS, daysLeft: 3.2 } }, 5);
    expect(low).toMatchObject([{ key: 'storage:low', priority: 'medium', sinceUs: 5 }]);
    expect(low[0]?.text).toMatch(/enough for 3 days/);
    const full = storageConditions({ level: 'thinning', stats: { ...STATS, thinnedWaiting: true } }, 5);
    expect(full).toMatchObject([{ key: 'storage:thinning', priority: 'high', cause: 'storage' }]);
  });

  it('says days as people do', () => {
    expect([null, 0.01, 0.5, 1.9, 12].map(daysText)).toEqual([
      '',
      ', enough for less than an hour',
      ', enough for 12 h',
      ', enough for 1 day',
      ', enough for 12 days',
    ]);
  });
});

describe('the rate of writing', () => {
  it('is measured over the last day of running, and unknown before ten minutes', () => {
    let ms = 0;
    const rate = new WriteRate(() => ms);
    expect(rate.bytesPerDay()).toBeNull();
    for (; ms < 599_000; ms += 1000) rate.add(1000);
    expect(rate.bytesPerDay()).toBeNull();
    for (; ms < 3_600_000; ms += 1000) rate.add(1000);
    expect(rate.bytesPerDay()).toBe(86_400_000);
    // Twice as much from now on: after a day nothing else counts.
    for (; ms < 48 * 3_600_000; ms += 1000) rate.add(2000);
    expect(rate.bytesPerDay()! / 86_400_000).toBeCloseTo(2, 1);
  });
});

describe('the watch over the store', () => {
  function watch(made: () => RoomMade, stats: () => StoreStats) {
    const told: { text: string; data: Record<string, string | number> }[] = [];
    const storage = new StorageWatch({
      outbox: { makeRoom: async () => made(), stats: async () => stats() },
      events: { emit: () => undefined, counters: () => ({}) },
      tell: (text, data) => told.push({ text, data }),
      onFailed: error => {
        throw error;
      },
    });
    return { storage, told };
  }

  it('puts every batch that gave way on record, and the warning once', async () => {
    const range = { fromSeq: 1, toSeq: 100, batches: 90, digest: 'd' } as const;
    const made: RoomMade[] = [
      { reduced: [{ ...range, to: 'pruned' }], more: true },
      { reduced: [{ ...range, to: 'thinned', fromSeq: 101, toSeq: 200 }], more: false },
    ];
    const { storage, told } = watch(
      () => made.shift() ?? { reduced: [], more: false },
      () => ({ ...STATS, availableBytes: 50 * MIB }),
    );
    expect([await storage.once(), await storage.once(), await storage.once()]).toEqual([true, false, false]);
    expect(told.map(({ data }) => data['to'] ?? data['level'])).toEqual(['pruned', 'low', 'thinned']);
    expect(told[0]?.data).toMatchObject({ fromSeq: 1, toSeq: 100, batches: 90, digest: 'd' });
    expect(storage.state).toMatchObject({ level: 'low' });
  });

  it('goes on where the disk refuses even that, and not where the store has failed', async () => {
    const errors = [new StoreError('full', ''), new StoreError('failed', 'gone')];
    const { storage } = watch(
      () => {
        throw errors.shift();
      },
      () => ({ ...STATS, availableBytes: 0 }),
    );
    expect(await storage.once()).toBe(false);
    expect(storage.state?.level).toBe('thinning');
    await expect(storage.once()).rejects.toThrow('gone');
  });
});
