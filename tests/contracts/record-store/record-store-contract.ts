/** What every store of records must do, whatever database it is; each implementation runs this suite. */
import { describe, expect, it } from 'vitest';
import type { RigEvent } from '#core/messages/event';
import type { Deviation, PassMessage } from '#core/messages/pass';
import { CHAIN_START } from '#core/record/chain';
import type { RecordStore } from '../../../dashboard/server/store/record-store.ts';
import type { VerifiedRecord } from '../../../dashboard/server/store/store.ts';
import { reduceMessage } from '../../support/reduce-record-message.ts';
import {
  OTHER_STREAM,
  STREAM,
  seal,
  testBody,
  testChain,
  testDeviation,
  testEvent,
  testPass,
} from '../../support/test-records.ts';
import { AT, chain, one, RIG, verified } from '../store/store-support.ts';

export interface OpenedRecordStore {
  readonly store: RecordStore;
  /** Another user of the same records: where the database serves several, a connection of its own. */
  readonly second: RecordStore;
  /** Closes it and opens what it kept. */
  readonly reopen: () => Promise<RecordStore>;
  /** What people see of the contents, read past the store. */
  readonly contents: () => Promise<{
    readonly passes: readonly PassMessage[];
    readonly deviations: readonly Deviation[];
    readonly events: readonly RigEvent[];
    readonly records: number;
    readonly conflicts: readonly string[];
  }>;
}

type Chain3 = [VerifiedRecord, VerifiedRecord, VerifiedRecord];

export function describeRecordStore(name: string, open: () => Promise<OpenedRecordStore>): void {
  describe(`${name}: a store of records`, () => {
    it('moves the watermark over what follows without a hole', async () => {
      const { store } = await open();
      const [r1, r2, r3] = chain(3) as Chain3;
      expect(await store.commitRecords([r2], AT)).toEqual({
        outcomes: ['stored'],
        streams: [
          {
            ...{ ...RIG, stream: STREAM, origin: 'simulated', first: null, upto: 0, head: CHAIN_START },
            ...{ lowest: 2, highest: 2, waiting: 1, conflicts: 0, chainBroken: false },
          },
        ],
        foreignPasses: [],
      });
      expect((await store.commitRecords([r3, r1], AT)).streams).toMatchObject([
        { first: 1, upto: 3, head: r3.message.hash, lowest: 1, highest: 3, waiting: 0 },
      ]);
    });

    it('moves it over thousands that waited behind one', async () => {
      const { store } = await open();
      const records = testChain(2100, { chunk: null }).map(message => verified(message));
      await store.commitRecords(records.slice(1), AT);
      expect((await store.commitRecords(records.slice(0, 1), AT)).streams).toMatchObject([
        { upto: 2100, head: records.at(-1)!.message.hash, waiting: 0 },
      ]);
    });

    it('takes a record again as a duplicate, and changes nothing', async () => {
      const { store, contents } = await open();
      const records = chain(3);
      await store.commitRecords(records, AT);
      const again = await store.commitRecords([...records, records[1]!], AT);
      expect(again.outcomes).toEqual(Array(4).fill('duplicate'));
      expect(again.streams).toMatchObject([{ upto: 3, conflicts: 0 }]);
      expect((await contents()).records).toBe(3);
    });

    it('tells apart what comes twice in one batch', async () => {
      const { store, contents } = await open();
      const [r1, r2] = chain(2) as Chain3;
      const clone = one(2, { events: [testEvent(99)] }, r1.message.hash);
      const result = await store.commitRecords([r1, r2, r1, clone, r2], AT);
      expect(result.outcomes).toEqual(['stored', 'stored', 'duplicate', 'conflict', 'duplicate']);
      expect(result.streams).toMatchObject([{ upto: 2, head: r2.message.hash, conflicts: 1 }]);
      expect(await contents()).toMatchObject({ records: 2, events: [], conflicts: [clone.message.hash] });
    });

    it('keeps both of two records with one number, and goes on with the first', async () => {
      const { store, contents } = await open();
      const records = chain(3) as Chain3;
      await store.commitRecords(records.slice(0, 2), AT);
      const clone = one(2, { events: [testEvent(99)], passes: [testPass(9)] }, records[0].message.hash);
      const conflict = await store.commitRecords([clone, clone], AT);
      expect(conflict.outcomes).toEqual(['conflict', 'conflict']);
      expect(conflict.streams).toMatchObject([{ upto: 2, head: records[1].message.hash, conflicts: 1 }]);
      expect(await contents()).toMatchObject({ events: [], passes: [] });
      expect((await store.commitRecords([records[2]], AT)).streams).toMatchObject([{ upto: 3 }]);
    });

    it('does not pass a record that names another predecessor', async () => {
      const { store } = await open();
      await store.commitRecords(chain(1), AT);
      const stray = one(2, {}, 'a'.repeat(64));
      expect((await store.commitRecords([stray], AT)).streams).toMatchObject([
        { upto: 1, chainBroken: true, waiting: 1 },
      ]);
    });

    it('keeps rigs and streams apart, in the order of the batch', async () => {
      const { store } = await open();
      const address = { ...RIG, rig: 'rig-b' };
      const other = testChain(2, { rig: 'rig-b' }).map(message => verified(message, address));
      const result = await store.commitRecords([...other, ...chain(1), ...chain(3, {}, OTHER_STREAM)], AT);
      expect(result.outcomes).toEqual(Array(6).fill('stored'));
      const ends = result.streams.map(({ rig, stream, upto }) => [rig, stream, upto]);
      expect(ends).toEqual([
        ['rig-b', STREAM, 2],
        ['rig-a', STREAM, 1],
        ['rig-a', OTHER_STREAM, 3],
      ]);
      const marks = (await store.watermarks()).map(({ rig, stream, first, upto }) => [
        rig,
        stream,
        first,
        upto,
      ]);
      expect(marks.sort()).toEqual(ends.map(([rig, stream, upto]) => [rig, stream, 1, upto]).sort());
    });

    it('says of each rig which stream it heard last', async () => {
      const { store } = await open();
      const at = (s: number): string => new Date(Date.parse(AT) + s * 1000).toISOString();
      const b = testChain(1, { rig: 'rig-b' }).map(message => verified(message, { ...RIG, rig: 'rig-b' }));
      await store.commitRecords(chain(1, {}, OTHER_STREAM), at(1));
      await store.commitRecords([...b, ...chain(2)], at(2));
      const newest = async (): Promise<string[]> =>
        (await store.newestStreams()).map(({ rig, stream, upto }) => `${rig} ${stream} ${upto}`).sort();
      expect(await newest()).toEqual([`rig-a ${STREAM} 2`, `rig-b ${STREAM} 1`]);
      await store.commitRecords(chain(2, {}, OTHER_STREAM), at(3));
      expect(await newest()).toEqual([`rig-a ${OTHER_STREAM} 2`, `rig-b ${STREAM} 1`]);
    });

    it('starts a stream late when told where it begins, and only where it has the record', async () => {
      const { store } = await open();
      const records = chain(6);
      await store.commitRecords(records.slice(3), AT);
      expect(await store.startStreamAt(RIG, STREAM, 3)).toBeNull();
      expect(await store.startStreamAt(RIG, STREAM, 4)).toMatchObject({
        first: 4,
        upto: 6,
        head: records[5]!.message.hash,
      });
      expect(await store.startStreamAt(RIG, STREAM, 5)).toBeNull();
      // What comes of the beginning later is kept all the same.
      expect(await store.commitRecords(records.slice(0, 1), AT)).toMatchObject({
        outcomes: ['stored'],
        streams: [{ first: 4, upto: 6 }],
      });
    });

    it('gives the records behind a number back as they came, whole or reduced, none beyond the watermark', async () => {
      const { store } = await open();
      const whole = testChain(6, { events: [testEvent(1)] });
      const sent = whole.map((record, i) => (i === 1 ? reduceMessage(record, 'thinned') : record));
      await store.commitRecords(
        [0, 1, 2, 3, 5].map(i => verified(sent[i]!)),
        AT,
      );
      const stored = sent.map(message => ({ ...message, historical: true }));
      expect(await store.recordsBehind(RIG, STREAM, 0, 10)).toEqual(stored.slice(0, 4));
      expect(await store.recordsBehind(RIG, STREAM, 1, 2)).toEqual(stored.slice(1, 3));
      expect(await store.recordsBehind(RIG, STREAM, 4, 10)).toEqual([]);
      expect(await store.recordsBehind({ ...RIG, rig: 'rig-b' }, STREAM, 0, 10)).toEqual([]);
    });

    it('keeps any body, the text to the last character', async () => {
      const { store } = await open();
      // Written outside a JSON text NUL would be one that no reader takes; as an escape it is one that some databases refuse.
      const odd = ['not JSON, \0 and \u{1F525}', JSON.stringify({ a: '\0' }), ''];
      const texts = [...odd, JSON.stringify(testBody({ events: [testEvent(1, { text: 'a\0b \ud800' })] }))];
      let prev = CHAIN_START;
      for (const [i, text] of texts.entries()) {
        const message = seal(text, i + 1, prev);
        prev = message.hash;
        expect(await store.commitRecords([verified(message)], AT)).toMatchObject({ outcomes: ['stored'] });
      }
      const kept = await store.recordsBehind(RIG, STREAM, 0, 10);
      expect(kept.map(({ body }) => body)).toEqual(texts);
    });

    it('shows passes with their deviations, and events; of a pass told twice what the later record says', async () => {
      const { store, contents } = await open();
      const open1 = testPass(1, { state: 'open', deviations: [testDeviation(62), testDeviation(70)] });
      const closed = testPass(1, { deviations: [testDeviation(64)] });
      const [r1] = chain(1, { passes: [open1], events: [testEvent(1), testEvent(2)] }) as Chain3;
      const r2 = one(2, { passes: [closed], events: [testEvent(2)] }, r1.message.hash);
      const r3 = one(3, {}, r2.message.hash);
      // The later first: the network owes no order.
      await store.commitRecords([r2], AT);
      const result = await store.commitRecords([r1, r3], AT);
      expect(result).toMatchObject({ foreignPasses: [], streams: [{ upto: 3 }] });
      const shown = await contents();
      expect(shown.passes).toEqual([closed]);
      expect(shown.deviations).toEqual([testDeviation(64)]);
      expect([...shown.events].sort((a, b) => a.tUs - b.tUs)).toEqual([testEvent(1), testEvent(2)]);
    });

    it('leaves out a pass of another rig or stream, and says which', async () => {
      const { store, contents } = await open();
      const passes = [testPass(1), testPass(2, { rig: 'rig-b' })];
      const { foreignPasses } = await store.commitRecords(chain(1, { passes }), AT);
      expect(foreignPasses).toEqual([`${STREAM}:2`]);
      const stolen = testPass(1, { stream: OTHER_STREAM });
      const second = await store.commitRecords(chain(1, { passes: [stolen] }, OTHER_STREAM), AT);
      expect(second.foreignPasses).toEqual([`${STREAM}:1`]);
      expect((await contents()).passes).toEqual([testPass(1)]);
    });

    it('is right when two write the same records at once, in different order', async () => {
      const { store, second, contents } = await open();
      const records = [STREAM, OTHER_STREAM].flatMap(stream => chain(60, {}, stream));
      const pieces = (order: readonly VerifiedRecord[]): VerifiedRecord[][] =>
        Array.from({ length: 12 }, (_, i) => order.slice(10 * i, 10 * i + 10));
      const write = async (to: RecordStore, order: readonly VerifiedRecord[]): Promise<string[]> => {
        const outcomes: string[] = [];
        for (const piece of pieces(order)) outcomes.push(...(await to.commitRecords(piece, AT)).outcomes);
        return outcomes;
      };
      const [a, b] = await Promise.all([write(store, records), write(second, [...records].reverse())]);
      const stored = [...a!, ...b!].filter(outcome => outcome === 'stored').length;
      expect([...a!, ...b!].filter(outcome => outcome === 'conflict')).toEqual([]);
      expect(stored).toBe(120);
      expect((await contents()).records).toBe(120);
      for (const [stream, last] of [
        [STREAM, records[59]!],
        [OTHER_STREAM, records[119]!],
      ] as const) {
        expect(await store.streamState(RIG, stream)).toMatchObject({
          upto: 60,
          head: last.message.hash,
          waiting: 0,
        });
      }
    });

    it('has everything after it was closed and opened', async () => {
      const opened = await open();
      await opened.store.commitRecords([...chain(3), one(4, { passes: [testPass(1)] })], AT);
      const before = await opened.store.streamState(RIG, STREAM);
      const store = await opened.reopen();
      expect(await store.streamState(RIG, STREAM)).toEqual(before);
      expect(await store.streamState(RIG, OTHER_STREAM)).toBeNull();
      expect((await store.commitRecords(chain(3), AT)).outcomes).toEqual(Array(3).fill('duplicate'));
      expect((await opened.contents()).passes).toEqual([testPass(1)]);
    });
  });
}
