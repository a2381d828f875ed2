/** Samples by time, in every store. */
import { describe, expect, it } from 'vitest';
import { CHAIN_START } from '#core/record/chain';
import { concatChunks, sliceChunk } from '#core/sample/chunk';
import { OTHER_STREAM, START_MS, STREAM, seal, testBody, testChunk } from '../../support/test-records.ts';

import { AT, chain, type OpenedStore, RIG, verified } from './store-support.ts';

export function describeSamples(name: string, open: () => OpenedStore): void {
  describe(`${name}: samples`, () => {
    const startUs = START_MS * 1000;

    it('gives the chunks of a range with the neighbours that tell its gaps', () => {
      const { store } = open();
      store.commitRecords(chain(10), AT);
      const span = store.sampleSpan(RIG, {
        kind: 'record',
        fromUs: startUs + 3_500_000,
        toUs: startUs + 5_500_000,
      });
      expect(span).toMatchObject({ stream: STREAM, utcMinusRecordMs: 0 });
      const stored = concatChunks(span!.chunks.map(chunk => store.chunkSamples(chunk)!));
      const within = (fromS: number, toS: number) =>
        sliceChunk(
          stored,
          stored.tUs.findIndex(tUs => tUs >= startUs + fromS * 1e6),
          stored.tUs.findLastIndex(tUs => tUs < startUs + toS * 1e6) + 1,
        );
      expect(within(3, 7)).toEqual(
        concatChunks([3, 4, 5, 6].map(second => testChunk(startUs + second * 1e6))),
      );
      expect(span!.chunks[0]!.extremes['weldingCurrent']).toEqual([200, 206]);
    });

    it('takes a range in UTC by the clock map of the records', () => {
      const { store } = open();
      // Record time stands an hour behind the wall clock here.
      store.commitRecords(chain(10, { utcMinusRecordMs: 3_600_000 }), AT);
      const fromMs = START_MS + 3_600_000 + 2000;
      const span = store.sampleSpan(RIG, { kind: 'utc', fromMs, toMs: fromMs + 1000 });
      expect(span).toMatchObject({ fromUs: startUs + 2e6, toUs: startUs + 3e6, utcMinusRecordMs: 3_600_000 });
    });

    it('has nothing outside what was recorded, nor of another stream or rig', () => {
      const { store } = open();
      store.commitRecords(chain(2), AT);
      const range = { kind: 'record', fromUs: startUs, toUs: startUs + 1e6 } as const;
      expect(store.sampleSpan(RIG, { kind: 'record', fromUs: 0, toUs: 1000 })).toBeNull();
      expect(store.sampleSpan(RIG, { ...range, stream: OTHER_STREAM })).toBeNull();
      expect(store.sampleSpan({ ...RIG, rig: 'rig-b' }, range)).toBeNull();
      expect(store.newestSample(RIG)).toEqual({
        stream: STREAM,
        lastUs: startUs + 1_990_000,
        lastUtcMs: START_MS + 1990,
      });
      expect(store.newestSample({ ...RIG, rig: 'rig-b' })).toBeNull();
    });

    it('looks in the newest stream that has the range', () => {
      const { store } = open();
      store.commitRecords(chain(2), AT);
      const later = verified(
        seal(JSON.stringify(testBody({ chunk: testChunk(startUs + 60e6) })), 1, CHAIN_START, OTHER_STREAM),
      );
      store.commitRecords([later], new Date(START_MS + 1000).toISOString());
      const streamAt = (offsetUs: number) =>
        store.sampleSpan(RIG, { kind: 'record', fromUs: startUs + offsetUs, toUs: startUs + offsetUs + 1e6 })
          ?.stream;
      expect(streamAt(0)).toBe(STREAM);
      expect(streamAt(60e6)).toBe(OTHER_STREAM);
    });
  });
}
