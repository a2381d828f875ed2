/** Settled samples give way: a stretch at a time, never what is not sealed, and what was least and greatest stays. */
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { readSamples } from '../../../dashboard/server/api/sample-reader.ts';
import { openForPruning } from '../../../dashboard/server/store/open-for-pruning.ts';
import type { PruneWish } from '../../../dashboard/server/store/pruning.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { START_MS, STREAM, testEvent, testPass } from '../../support/test-records.ts';
import { openStore } from '../../support/test-store.ts';
import { AT, chain, RIG } from './store-support.ts';

const RECORDS = 200;
const START_US = START_MS * 1000;
const RANGE = { kind: 'record', fromUs: START_US, toUs: START_US + 200e6 } as const;

async function settled(sealedTo = RECORDS) {
  const directory = tempDir();
  const store = openStore(directory);
  const records = chain(RECORDS, { events: [testEvent(1)], passes: [testPass(1)] });
  store.commitRecords(records, AT);
  while (store.settling.step(START_MS + 86_400_000));
  const { db, pruning } = await openForPruning(join(directory, 'dashboard.sqlite3'));
  onTestFinished(() => void db.close());
  db.prepare('INSERT INTO seal_progress (stream_id, head_seq) VALUES (1, ?)').run(sealedTo);
  const prune = (wish: PruneWish) => {
    let done = { records: 0, bytes: 0 };
    for (const stream of pruning.plan(wish)) for (done of pruning.prune(stream, wish));
    return done;
  };
  return { directory, store, records, db, pruning, prune };
}

const all: PruneWish = { beforeMs: START_MS + 3_600_000, keep: 'none', unsealed: false };

describe('letting settled samples go', () => {
  it('takes whole stretches that are old and sealed, and says so beforehand', async () => {
    const { pruning, prune, db } = await settled(170);
    expect(pruning.plan(all)).toMatchObject([{ records: 160, lastSeq: 160, notSealed: 40 }]);
    expect(pruning.plan({ ...all, beforeMs: START_MS + 100_000 })).toMatchObject([
      { records: 80, notSealed: 0 },
    ]);
    const [plan] = pruning.plan(all);
    const done = prune(all);
    expect(done.records).toBe(160);
    expect(done.bytes).toBeGreaterThan(plan!.bytes / 3);
    expect(db.prepare('SELECT data IS NULL FROM stretches ORDER BY id').pluck().all()).toEqual([1, 1, 0]);
    expect(pruning.plan(all)).toMatchObject([{ records: 0, notSealed: 40 }]);
  });

  it('shows what was least and greatest as before, at every zoom that seconds can tell, and no gap', async () => {
    const { store, prune } = await settled();
    const zooms = [1, 5, 20, 40, 60];
    const shown = () =>
      zooms.map(points => {
        const { series, gaps } = readSamples(store, RIG, RANGE, { points });
        return { gaps, series: series.map(({ min, max }) => [Math.min(...min), Math.max(...max)]) };
      });
    const onGrid = () => [20, 40, 60].map(points => readSamples(store, RIG, RANGE, { points }));
    const before = shown();
    const exact = onGrid();
    expect(prune(all).records).toBe(RECORDS);
    expect(shown()).toEqual(before);
    expect(onGrid()).toEqual(exact);
    // Closer than its summaries, each second has its least and greatest.
    const close = readSamples(store, RIG, RANGE, { points: 2000, channels: ['weldingCurrent'] });
    expect(new Set(close.series[0]!.min)).toEqual(new Set([200]));
    expect(new Set(close.series[0]!.max)).toEqual(new Set([206]));
    expect(close.gaps).toEqual([]);
    // No sample of it can be read.
    expect(store.sampleSpan(RIG, RANGE)!.chunks.map(chunk => store.chunkSamples(chunk))).toEqual([
      null,
      null,
      null,
    ]);
  });

  it('keeps chain, events and passes, and a store that opens and knows each record again', async () => {
    const { directory, store, prune, db, records } = await settled();
    prune(all);
    const rows = db
      .prepare('SELECT seq, prev, hash, body, reduced_to, body_hash, settled FROM records ORDER BY seq')
      .all() as { seq: number; prev: string; hash: string; reduced_to: string; settled: number | null }[];
    rows.forEach((row, i) => {
      const { prev, hash } = records[i]!.message;
      expect(row).toMatchObject({ seq: i + 1, prev, hash, reduced_to: 'pruned', settled: null });
    });
    expect(store.pass(`${STREAM}:1`)).not.toBeNull();
    expect(new Set(store.commitRecords(records, AT).outcomes)).toEqual(new Set(['duplicate']));
    store.close();
    const events = recordedEvents();
    openStore(directory, events);
    expect(events.counts).not.toHaveProperty('storeQuarantined');
  });

  it('to seconds stays as it is, where seconds would take more room than all of it does', async () => {
    const { prune, db } = await settled();
    expect(prune({ ...all, keep: 'seconds' })).toEqual({ records: 0, bytes: 0 });
    expect(db.prepare('SELECT count(*) FROM stretches WHERE data IS NOT NULL').pluck().get()).toBe(3);
  });

  it('of records that never settled keeps least and greatest too', async () => {
    const directory = tempDir();
    const store = openStore(directory);
    store.commitRecords(chain(50), AT);
    const before = readSamples(store, RIG, { ...RANGE, toUs: START_US + 50e6 }, { points: 20 });
    const { db, pruning } = await openForPruning(join(directory, 'dashboard.sqlite3'));
    onTestFinished(() => void db.close());
    const wish = { ...all, unsealed: true };
    for (const stream of pruning.plan(wish)) for (const _ of pruning.prune(stream, wish));
    expect(db.prepare('SELECT count(*) FROM chunks').pluck().get()).toBe(0);
    expect(readSamples(store, RIG, { ...RANGE, toUs: START_US + 50e6 }, { points: 20 })).toEqual(before);
  });
});
