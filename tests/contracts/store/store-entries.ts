/** What people enter, in every store. */
import { describe, expect, it } from 'vitest';
import { EXAMPLE_PROCEDURE } from '../../support/test-records.ts';

import { AT, type OpenedStore, RIG } from './store-support.ts';

export function describeEntries(name: string, open: () => OpenedStore): void {
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
