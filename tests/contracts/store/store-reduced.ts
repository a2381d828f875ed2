/** Records whose samples gave way on a full edge, in every store. */
import { describe, expect, it } from 'vitest';
import { readSamples } from '../../../dashboard/server/api/sample-reader.ts';
import { reduceMessage } from '../../support/reduce-record-message.ts';
import { START_MS, STREAM, testChain, testEvent, testPass } from '../../support/test-records.ts';
import { AT, type OpenedStore, RIG, verified } from './store-support.ts';

export function describeReduced(name: string, open: () => OpenedStore): void {
  describe(`${name}: records that are not whole`, () => {
    const startUs = START_MS * 1000;

    it('take their place in the chain: the watermark goes on over them', () => {
      const { store, reopen } = open();
      const whole = testChain(6);
      const sent = whole.map((record, i) =>
        i < 2 ? reduceMessage(record, 'pruned') : i < 4 ? reduceMessage(record, 'thinned') : record,
      );
      expect(sent[0]!.body).toBe('');
      const { outcomes, streams } = store.commitRecords(
        sent.map(record => verified(record)),
        AT,
      );
      expect(outcomes).toEqual(Array(6).fill('stored'));
      expect(streams).toMatchObject([{ stream: STREAM, upto: 6, head: whole[5]!.hash, chainBroken: false }]);
      // Whole or not, it is the same record.
      expect(
        store.commitRecords(
          whole.map(record => verified(record)),
          AT,
        ).outcomes,
      ).toEqual(Array(6).fill('duplicate'));
      expect(reopen().newestStream(RIG)).toMatchObject({ upto: 6, conflicts: 0 });
    });

    it('keep their events and passes', () => {
      const { store } = open();
      const [record] = testChain(1, { events: [testEvent(1)], passes: [testPass(1)] });
      store.commitRecords([verified(reduceMessage(record!, 'pruned'))], AT);
      expect(store.events({ limit: 10 }).items.map(({ event }) => event)).toEqual([testEvent(1)]);
      expect(store.passes({ limit: 10 }).items).toEqual([testPass(1)]);
      expect(store.newestSample(RIG)).toBeNull();
    });

    it('answer with the extremes of a second, without a gap between thinned seconds and one where samples went', () => {
      const { store } = open();
      const sent = testChain(30).map((record, i) =>
        i >= 10 && i < 20 ? reduceMessage(record, 'pruned') : reduceMessage(record, 'thinned'),
      );
      store.commitRecords(
        sent.map(record => verified(record)),
        AT,
      );
      const range = { kind: 'record', fromUs: startUs, toUs: startUs + 30e6 } as const;
      for (const points of [2, 20, 500]) {
        const answer = readSamples(store, RIG, range, { points, channels: ['weldingCurrent'] });
        const [series] = answer.series;
        // testChunk: 200 to 206 A in every second; a mean alone would never show it.
        expect(new Set(series!.min)).toEqual(new Set([200]));
        expect(new Set(series!.max)).toEqual(new Set([206]));
        expect(answer.gaps).toEqual([{ fromUs: startUs + 10e6, toUs: startUs + 20e6 }]);
      }
    });
  });
}
