/** A range is looked up first and its samples are read after: meanwhile they may settle, or be let go by a command beside. */
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { concatChunks } from '#core/sample/chunk';
import { passSamples } from '../../../dashboard/server/export/pass-samples.ts';
import { openForPruning } from '../../../dashboard/server/store/open-for-pruning.ts';
import type { PruneWish } from '../../../dashboard/server/store/pruning.ts';
import { localSource } from '../../../dashboard/server/store/sample-source.ts';
import { StoredSamples } from '../../../dashboard/server/store/stored-samples.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { OTHER_STREAM, START_MS, testPass } from '../../support/test-records.ts';
import { openStore } from '../../support/test-store.ts';
import { AT, RIG } from '../store/store-support.ts';
import { recordsOf, second } from './sample-store-contract.ts';

const START_US = START_MS * 1000;
const RANGE = { kind: 'record', fromUs: START_US, toUs: START_US + 100e6 } as const;
const seconds = Array.from({ length: 90 }, (_, i) => second(i));

function filled() {
  const directory = tempDir();
  const store = openStore(directory);
  store.commitRecords(recordsOf(seconds), AT);
  const settle = (): void => {
    while (store.settling.step(START_MS + 86_400_000));
  };
  const prune = async (keep: PruneWish['keep']): Promise<void> => {
    const { db, pruning } = await openForPruning(join(directory, 'dashboard.sqlite3'));
    onTestFinished(() => void db.close());
    const wish: PruneWish = { beforeMs: START_MS + 3_600_000, keep, unsealed: true };
    for (const stream of pruning.plan(wish)) for (const _ of pruning.prune(stream, wish));
  };
  return { store, settle, prune };
}

describe('samples that changed their place since a range was looked up', () => {
  it('are read where they are now, each as it was recorded', () => {
    const { store, settle } = filled();
    const { chunks } = store.sampleSpan(RIG, RANGE)!;
    settle();
    expect(store.allSamples(chunks)).toEqual(seconds);
    expect(store.chunkSamples(chunks[7]!)).toEqual(seconds[7]);
    // Numbers of rows that are gone are given again.
    const others = Array.from({ length: 90 }, (_, i) => second(i, { peakAt: 5 }));
    store.commitRecords(recordsOf(others, { stream: OTHER_STREAM }), AT);
    expect(store.allSamples(chunks)).toEqual(seconds);
  });

  it('answer a chart and a range of another place that was slow', async () => {
    const { store, settle } = filled();
    const slow = {
      read: (...asked: Parameters<ReturnType<typeof localSource>['read']>) => {
        settle();
        return localSource(store).read(...asked);
      },
    };
    const before = await new StoredSamples(store).overview(RIG, RANGE, { points: 2000 });
    const samples = new StoredSamples(store, () => slow);
    expect(await samples.overview(RIG, RANGE, { points: 2000 })).toEqual(before);
    const raw = await new StoredSamples(filled().store, () => slow).raw(RIG, RANGE);
    expect(raw?.chunk).toEqual(concatChunks(seconds));
  });

  it('are said to be gone where they were let go, and never read as another’s', async () => {
    for (const keep of ['seconds', 'none'] as const) {
      for (const settles of [false, true]) {
        const { store, settle, prune } = filled();
        if (settles) settle();
        const { chunks } = store.sampleSpan(RIG, RANGE)!;
        await prune(keep);
        const now = store.allSamples(chunks);
        // Dense samples may stay where their seconds would take more room.
        const stayed = store.sampleSpan(RIG, RANGE)!.chunks.some(({ kind }) => kind === 'stretch');
        expect(
          now.every(one => one === null),
          `${keep}, settled: ${settles}`,
        ).toBe(!stayed);
        expect(() => chunks.map(chunk => store.chunkZoom(chunk, ([finest]) => finest))).not.toThrow();
      }
    }
  });

  it('are never left out of an export without a word', async () => {
    const { store, settle, prune } = filled();
    const pass = testPass(1, { startUs: START_US, endUs: START_US + 80e6 });
    const read = passSamples(pass, store)!;
    const whole = [...read.samples()].length;
    settle();
    expect([...read.samples()]).toHaveLength(whole);
    await prune('none');
    expect(() => [...read.samples()]).toThrow(/let go/);
  });
});
