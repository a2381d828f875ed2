/** What every store of the dashboard must do; each implementation runs this suite. */
import { describe, expect, it } from 'vitest';
import { CHAIN_START } from '#core/record/chain';
import { decodeChunk } from '#core/sample/codec';
import { verifyRecord } from '../../../dashboard/server/ingest/verify-record.ts';
import type { DashboardStore, VerifiedRecord } from '../../../dashboard/server/store/store.ts';
import {
  EXAMPLE_PROCEDURE,
  OTHER_STREAM,
  START_MS,
  STREAM,
  seal,
  testBody,
  testChain,
  testChunk,
  testDeviation,
  testEvent,
  testPass,
} from '../../support/test-records.ts';

export interface OpenedStore {
  readonly store: DashboardStore;
  /** Closes it and opens what it kept. */
  readonly reopen: () => DashboardStore;
}

const RIG = { site: 'spread-1', rig: 'rig-a' };
const AT = new Date(START_MS).toISOString();

function verified(message: ReturnType<typeof seal>, address = RIG): VerifiedRecord {
  const result = verifyRecord(address, message);
  if (!result.ok) throw new Error(result.event);
  return result.record;
}
const chain = (count: number, parts = {}, stream = STREAM) =>
  testChain(count, parts, stream).map(one => verified(one));
/** One record with these contents, as number `seq` of a stream of its own chain. */
const one = (seq: number, parts: Parameters<typeof testBody>[0], prev = CHAIN_START) =>
  verified(seal(JSON.stringify(testBody(parts)), seq, prev, STREAM, parts?.origin ?? 'simulated'));

export function describeStore(name: string, open: () => OpenedStore): void {
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
      expect(span!.chunks.map(chunk => (chunk.firstUs - startUs) / 1e6)).toEqual([3, 4, 5, 6]);
      expect(decodeChunk(store.chunkBytes(span!.chunks[0]!.id))).toEqual(testChunk(startUs + 3e6));
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

  describe(`${name}: passes, events, joints`, () => {
    it('shows the version of a pass in the latest record, whatever the order they came in', () => {
      const { store } = open();
      const open1 = testPass(1, { state: 'open', deviations: [testDeviation(61), testDeviation(70)] });
      const closed = testPass(1, { deviations: [testDeviation(61)] });
      store.commitRecords([one(5, { passes: [closed] })], AT);
      store.commitRecords([one(4, { passes: [open1] })], AT);
      expect(store.pass(closed.passId)).toEqual(closed);
      expect(store.deviations({ limit: 10 }).items).toMatchObject([
        { passId: closed.passId, atUtc: new Date(START_MS + 61_000).toISOString(), procedurePass: 'fill 1' },
      ]);
    });

    it('leaves out a pass that names another rig, origin or a pass of another stream', () => {
      const { store } = open();
      store.commitRecords([one(1, { passes: [testPass(1)] })], AT);
      const foreign = [
        testPass(2, { rig: 'rig-b' }),
        testPass(3, { origin: 'real' }),
        testPass(4, { stream: OTHER_STREAM }),
      ];
      expect(store.commitRecords([one(2, { passes: foreign })], AT).foreignPasses).toHaveLength(3);
      const stolen = testPass(1, { stream: OTHER_STREAM, joint: 'J-9999' });
      const thief = verified(
        seal(JSON.stringify(testBody({ passes: [stolen] })), 1, CHAIN_START, OTHER_STREAM),
      );
      expect(store.commitRecords([thief], AT).foreignPasses).toEqual([stolen.passId]);
      expect(store.pass(stolen.passId)?.joint).toBe('J-0001');
    });

    it('pages through passes, newest first, each once, while others come', () => {
      const { store } = open();
      const passes = Array.from({ length: 7 }, (_, i) => testPass(i + 1));
      store.commitRecords([one(1, { passes })], AT);
      const seen: number[] = [];
      let before: string | undefined;
      for (let page = 0; page < 10; page++) {
        const { items, next } = store.passes({ limit: 3, before });
        seen.push(...items.map(item => item.pass.index));
        if (page === 0) store.commitRecords([one(2, { passes: [testPass(8)] })], AT);
        if (next === null) break;
        before = next;
      }
      expect(seen).toEqual([7, 6, 5, 4, 3, 2, 1]);
      expect(store.passes({ limit: 10, joint: 'J-0002' }).items).toEqual([]);
      expect(store.passes({ limit: 10, rig: 'rig-a', joint: 'J-0001' }).items).toHaveLength(8);
    });

    it('never joins real and simulated work under one joint number', () => {
      const { store } = open();
      store.commitRecords(
        [one(1, { passes: [testPass(1), testPass(2, { deviations: [testDeviation(130)] })] })],
        AT,
      );
      const realPass = testPass(1, { origin: 'real', rig: 'rig-b' });
      const real = testBody({ rig: 'rig-b', origin: 'real', passes: [{ ...realPass, passId: 'real:1' }] });
      const message = seal(JSON.stringify(real), 1, CHAIN_START, STREAM, 'real');
      store.commitRecords([verified(message, { ...RIG, rig: 'rig-b' })], AT);
      expect(store.jointOrigins()).toEqual(['real', 'simulated']);
      expect(store.joints('real', 10, undefined).items).toMatchObject([
        { joint: 'J-0001', passes: 1, origin: 'real' },
      ]);
      expect(store.joint('J-0001', 'simulated')).toMatchObject({
        joint: { passes: 2, deviations: 1, origin: 'simulated' },
        passes: [{ pass: { index: 1 } }, { pass: { index: 2 } }],
      });
      expect(store.joint('J-0001', 'replay')).toBeNull();
    });

    it('lists events by rig, time and type, newest first, each once', () => {
      const { store } = open();
      const events = [testEvent(1), testEvent(2, { type: 'arcStop' }), testEvent(3)];
      store.commitRecords([one(1, { events }), one(2, { events: [events[0]!] })], AT);
      const ids = (filter: object) => store.events({ limit: 10, ...filter }).items.map(item => item.event.id);
      expect(ids({})).toEqual([3, 2, 1].map(n => `${STREAM}:${n}`));
      expect(ids({ type: 'arcStop' })).toEqual([`${STREAM}:2`]);
      expect(ids({ fromUtc: events[1]!.at, toUtc: events[1]!.at })).toEqual([`${STREAM}:2`]);
      expect(ids({ rig: 'rig-b' })).toEqual([]);
      const first = store.events({ limit: 2 });
      expect(store.events({ limit: 2, before: first.next! }).items).toHaveLength(1);
    });
  });

  describe(`${name}: entries`, () => {
    it('never changes a procedure revision', () => {
      const { store } = open();
      expect(store.addProcedure(EXAMPLE_PROCEDURE, AT, 'p-1')).toBe(true);
      expect(store.addProcedure({ ...EXAMPLE_PROCEDURE, title: 'Other' }, AT, 'p-1')).toBe(false);
      expect(store.procedure('example-610', 1)?.procedure.title).toBe(EXAMPLE_PROCEDURE.title);
      expect(store.addProcedure({ ...EXAMPLE_PROCEDURE, revision: 2 }, AT, 'p-1')).toBe(true);
      expect(store.procedures().map(entry => entry.procedure.revision)).toEqual([1, 2]);
      expect(store.procedure('example-610', 3)).toBeNull();
    });

    it('appends assignments; the last one of a rig counts', () => {
      const { store } = open();
      const work = {
        joint: 'J-0001',
        side: 'A' as const,
        pass: 'root',
        procedureId: 'example-610',
        procedureRevision: 1,
        outsideDiameterMm: 610,
        startDegrees: 0,
      };
      store.addAssignment({ ...RIG, id: 'a1', at: AT, author: 'p-1', work });
      store.addAssignment({ ...RIG, id: 'a2', at: AT, author: 'p-1', work: null });
      expect(store.currentAssignment(RIG)).toMatchObject({ id: 'a2', work: null });
      expect(store.currentAssignment({ ...RIG, rig: 'rig-b' })).toBeNull();
      expect(store.assignment('a1')?.work).toEqual(work);
      const page = store.assignments({ limit: 1 });
      expect(page.items.map(item => item.id)).toEqual(['a2']);
      expect(store.assignments({ limit: 1, before: page.next! }).items.map(item => item.id)).toEqual(['a1']);
    });

    it('shows the latest of what was said about a person', () => {
      const { store } = open();
      expect(store.people()).toEqual([]);
      store.addPerson({ id: 'p-1', name: 'A. Example', roles: ['inspector'] }, AT);
      store.addPerson({ id: 'p-2', name: 'B. Example', roles: ['viewer'] }, AT);
      store.addPerson({ id: 'p-1', name: 'A. Example-Smith', roles: ['inspector', 'reviewer'] }, AT);
      expect(store.people()).toEqual([
        { id: 'p-1', name: 'A. Example-Smith', roles: ['inspector', 'reviewer'] },
        { id: 'p-2', name: 'B. Example', roles: ['viewer'] },
      ]);
    });

    it('gives rigs their places once, and not more than allowed', () => {
      const { store } = open();
      const at = (rig: string) => ({ site: 'spread-1', rig });
      expect(store.ensureRig(at('rig-b'), AT, 2)?.place).toBe(0);
      expect(store.ensureRig(at('rig-a'), AT, 2)?.place).toBe(1);
      expect(store.ensureRig(at('rig-c'), AT, 2)).toBeNull();
      expect(store.ensureRig(at('rig-b'), AT, 2)).toMatchObject({ place: 0, origin: null });
      store.setRigOrigin(at('rig-b'), 'simulated');
      expect(store.rigs().map(row => [row.rig, row.origin])).toEqual([
        ['rig-b', 'simulated'],
        ['rig-a', null],
      ]);
    });
  });
}
