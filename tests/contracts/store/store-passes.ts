/** Passes, events and joints as the records tell them, in every store. */
import { describe, expect, it } from 'vitest';
import { CHAIN_START } from '#core/record/chain';
import {
  OTHER_STREAM,
  START_MS,
  STREAM,
  seal,
  testBody,
  testDeviation,
  testEvent,
  testPass,
} from '../../support/test-records.ts';

import { AT, type OpenedStore, one, RIG, verified } from './store-support.ts';

export function describePasses(name: string, open: () => OpenedStore): void {
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
}
