/** Records and their watermark, in every store. */
import { describe, expect, it } from 'vitest';
import { CHAIN_START } from '#core/record/chain';
import type { VerifiedRecord } from '../../../dashboard/server/store/store.ts';
import { OTHER_STREAM, STREAM, seal, testChain, testEvent, testPass } from '../../support/test-records.ts';

import { AT, chain, type OpenedStore, one, RIG, verified } from './store-support.ts';

export function describeRecords(name: string, open: () => OpenedStore): void {
  describe(`${name}: records`, () => {
    it('moves the watermark over what follows without a hole', () => {
      const { store } = open();
      const records = chain(4);
      const [r1, r2, r3, r4] = records as [VerifiedRecord, VerifiedRecord, VerifiedRecord, VerifiedRecord];
      expect(store.commitRecords([r2], AT)).toMatchObject({
        outcomes: ['stored'],
        streams: [{ ...RIG, stream: STREAM, first: null, upto: 0, head: CHAIN_START, waiting: 1 }],
      });
      expect(store.commitRecords([r4, r1], AT).streams).toMatchObject([
        { first: 1, upto: 2, head: r2.message.hash, waiting: 1, highest: 4 },
      ]);
      expect(store.commitRecords([r3], AT).streams).toMatchObject([
        { upto: 4, head: r4.message.hash, waiting: 0, chainBroken: false },
      ]);
    });

    it('takes a record again as a duplicate, and changes nothing', () => {
      const { store } = open();
      const records = chain(3);
      store.commitRecords(records, AT);
      const before = store.size().records;
      const again = store.commitRecords([...records, records[1]!], AT);
      expect(again.outcomes).toEqual(['duplicate', 'duplicate', 'duplicate', 'duplicate']);
      expect(again.streams).toMatchObject([{ upto: 3 }]);
      expect(store.size().records).toBe(before);
    });

    it('keeps both of two records with one number, and goes on with the first', () => {
      const { store } = open();
      const records = chain(3);
      store.commitRecords(records.slice(0, 2), AT);
      const clone = one(2, { events: [testEvent(99)] }, records[0]!.message.hash);
      const conflict = store.commitRecords([clone, clone], AT);
      expect(conflict.outcomes).toEqual(['conflict', 'conflict']);
      expect(conflict.streams).toMatchObject([{ upto: 2, head: records[1]!.message.hash, conflicts: 1 }]);
      expect(store.events({ limit: 10 }).items).toEqual([]);
      expect(store.commitRecords([records[2]!], AT).streams).toMatchObject([{ upto: 3 }]);
    });

    it('does not pass a record that names another predecessor', () => {
      const { store } = open();
      const records = chain(2);
      store.commitRecords([records[0]!], AT);
      const stray = one(2, {}, 'a'.repeat(64));
      expect(store.commitRecords([stray], AT).streams).toMatchObject([
        { upto: 1, chainBroken: true, waiting: 1 },
      ]);
    });

    it('keeps rigs and streams apart', () => {
      const { store } = open();
      const other = testChain(2, { rig: 'rig-b' }).map(message =>
        verified(message, { ...RIG, rig: 'rig-b' }),
      );
      const result = store.commitRecords([...chain(1), ...other, ...chain(3, {}, OTHER_STREAM)], AT);
      expect(result.outcomes).toEqual(Array(6).fill('stored'));
      expect(result.streams.map(({ rig, stream, upto }) => [rig, stream, upto])).toEqual([
        ['rig-a', STREAM, 1],
        ['rig-b', STREAM, 2],
        ['rig-a', OTHER_STREAM, 3],
      ]);
    });

    it('starts a stream late when told where it begins, and only where it has the record', () => {
      const { store } = open();
      const records = chain(6);
      store.commitRecords(records.slice(3), AT);
      expect(store.startStreamAt(RIG, STREAM, 3)).toBeNull();
      expect(store.startStreamAt(RIG, STREAM, 4)).toMatchObject({
        first: 4,
        upto: 6,
        head: records[5]!.message.hash,
      });
      expect(store.startStreamAt(RIG, STREAM, 5)).toBeNull();
      // What comes of the beginning later is kept all the same.
      expect(store.commitRecords(records.slice(0, 1), AT)).toMatchObject({
        outcomes: ['stored'],
        streams: [{ upto: 6 }],
      });
    });

    it('keeps a body nobody can read', () => {
      const { store } = open();
      const result = store.commitRecords([verified(seal('not JSON', 1))], AT);
      expect(result).toMatchObject({ outcomes: ['stored'], streams: [{ upto: 1 }] });
    });

    it('has everything after it was closed and opened', () => {
      const opened = open();
      opened.store.commitRecords([...chain(3), one(4, { passes: [testPass(1)] })], AT);
      opened.store.ensureRig(RIG, AT, 10);
      const before = opened.store.streamStates();
      const store = opened.reopen();
      expect(store.streamStates()).toEqual(before);
      expect(store.pass(`${STREAM}:1`)).toEqual(testPass(1));
      expect(store.rigs()).toMatchObject([{ ...RIG, place: 0 }]);
      expect(store.commitRecords(chain(3), AT).outcomes).toEqual(['duplicate', 'duplicate', 'duplicate']);
    });
  });
}
