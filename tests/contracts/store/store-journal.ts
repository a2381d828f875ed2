/** What people enter, in every store: append-only, in order, found by subject and kind. */
import { describe, expect, it } from 'vitest';
import type { Entry } from '#core/journal/entry';
import { testPass } from '../../support/test-records.ts';
import { AT, type OpenedStore, one } from './store-support.ts';

const entry = (id: string, parts: Partial<Entry> = {}): Omit<Entry, 'number'> => ({
  id,
  at: AT,
  origin: 'simulated',
  author: 'p-1',
  shiftDate: '2026-05-12',
  reason: null,
  corrects: null,
  body: { kind: 'consumables', joint: 'J-0001', wireLot: 'W-1' },
  ...parts,
});

export function describeJournal(name: string, open: () => OpenedStore): void {
  describe(`${name}: journal`, () => {
    it('numbers entries as they come, gives them back as they were, also after a restart', () => {
      const { store, reopen } = open();
      expect(store.journal.head()).toBe(0);
      const first = store.journal.add(entry('a'));
      const second = store.journal.add(entry('b', { reason: 'it’s “so”\n<b>', shiftDate: '2026-05-11' }));
      expect([first.number, second.number]).toEqual([1, 2]);
      const again = reopen();
      expect(again.journal.about('joint J-0001')).toEqual([first, second]);
      expect(again.journal.entry('b')).toEqual(second);
      expect(again.journal.head()).toBe(2);
      expect(again.journal.add(entry('c')).number).toBe(3);
    });

    it('finds entries by subject, by kind, in pages, newest first', () => {
      const { store } = open();
      for (let i = 0; i < 5; i++) store.journal.add(entry(`lot-${i}`));
      store.journal.add(entry('other', { body: { kind: 'consumables', joint: 'J-0002', gasLot: 'G-1' } }));
      store.journal.add(
        entry('hold', { body: { kind: 'hold', joint: 'J-0001', on: true }, reason: 'ruling' }),
      );
      const subject = 'joint J-0001';
      const page = store.journal.page({ subject, kind: 'consumables', limit: 3 });
      expect(page.items.map(({ id }) => id)).toEqual(['lot-4', 'lot-3', 'lot-2']);
      const rest = store.journal.page({ subject, kind: 'consumables', limit: 3, before: page.next! });
      expect(rest).toMatchObject({ items: [{ id: 'lot-1' }, { id: 'lot-0' }], next: null });
      expect(store.journal.ofKind('hold').map(({ id }) => id)).toEqual(['hold']);
      expect(() => store.journal.page({ limit: 3, before: 'nonsense' })).toThrow(/before is not a value/);
    });

    it('keeps a correction beside what it corrects, one of each', () => {
      const { store } = open();
      const wrong = store.journal.add(entry('wrong'));
      const right = store.journal.add(entry('right', { corrects: 'wrong', reason: 'read wrong' }));
      expect(store.journal.correctionOf('wrong')).toEqual(right);
      expect(store.journal.correctionOf('right')).toBeNull();
      expect(() => store.journal.add(entry('again', { corrects: 'wrong', reason: 'x' }))).toThrow();
      expect(() => store.journal.add(entry('lost', { corrects: 'nothing', reason: 'x' }))).toThrow();
      expect(store.journal.about('joint J-0001')).toEqual([wrong, right]);
    });

    it('keeps the first judgement of a move', () => {
      const { store } = open();
      store.journal.add(entry('move'));
      expect(store.journal.judgement('move')).toBeNull();
      store.journal.addJudgement('move', '{"first":true}');
      store.journal.addJudgement('move', '{"first":false}');
      expect(store.journal.judgement('move')).toBe('{"first":true}');
    });

    it('marks joints, lists passes without one, and who used a procedure revision', () => {
      const { store } = open();
      const without = testPass(3, { joint: null, side: null });
      // Alone, and twice: it marks nothing, and is no reason to refuse a record.
      store.commitRecords([one(9, { passes: [testPass(4, { joint: null, side: null })] })], AT);
      store.commitRecords([one(10, { passes: [testPass(4, { joint: null, side: null })] })], AT);
      expect(store.jointList.stale(10)).toEqual([]);
      store.commitRecords([one(1, { passes: [testPass(1), testPass(2, { joint: 'J-0002' }), without] })], AT);
      // Whatever comes marks the joint whose row of the list is to be made again, the newest first.
      expect(store.jointList.stale(10)).toEqual(['J-0002', 'J-0001']);
      expect(store.passesWithoutJoint(1)).toHaveLength(1);
      expect(store.passesWithoutJoint(10)).toContainEqual(without);
      expect(
        store
          .jointsByProcedure('example-610', 1)
          .map(({ joint }) => joint)
          .sort(),
      ).toEqual(['J-0001', 'J-0002']);
      expect(store.jointsByProcedure('example-610', 2)).toEqual([]);
      const work = {
        joint: 'J-0003',
        side: 'A' as const,
        pass: 'root',
        procedureId: 'example-610',
        procedureRevision: 1,
        outsideDiameterMm: 610,
        startDegrees: 0,
      };
      const rig = { site: 'spread-1', rig: 'rig-a', at: AT, author: 'p-1' };
      store.addAssignment({ ...rig, id: 'a1', work });
      store.addAssignment({ ...rig, id: 'a2', work: null });
      expect(store.assignmentsByProcedure('example-610', 1).map(({ id }) => id)).toEqual(['a1']);
    });
  });
}
