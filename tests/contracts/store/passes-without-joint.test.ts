/** Passes of no joint stand on a list until somebody says where they belong: none falls off it for those that were moved. */
import { describe, expect, it } from 'vitest';
import { JournalFacts } from '../../../dashboard/server/api/journal-facts.ts';
import type { RigBoard } from '../../../dashboard/server/live/rig-board.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { START_MS, testPass } from '../../support/test-records.ts';
import { openStore } from '../../support/test-store.ts';
import { AT, one } from './store-support.ts';

const PASSES = 210;

describe('passes without a joint', () => {
  it('stay on the list though hundreds that came after them were moved to joints', () => {
    const store = openStore(tempDir());
    const passes = Array.from({ length: PASSES }, (_, i) => {
      const startMs = START_MS + i * 60_000;
      return testPass(i + 1, { joint: null, side: null, startUtc: new Date(startMs).toISOString() });
    });
    store.commitRecords([one(1, { passes })], AT);
    const board = {} as unknown as RigBoard;
    const facts = new JournalFacts({ store, board, now: () => new Date(START_MS) });
    expect(facts.unassigned().map(({ passId }) => passId)).toEqual(
      passes
        .map(({ passId }) => passId)
        .toReversed()
        .slice(0, 200),
    );
    const work = { side: 'A', pass: 'root', procedureId: 'example-610', procedureRevision: 1 } as const;
    const move = (passId: string, id: string): void => {
      store.journal.add({
        ...{
          id,
          at: AT,
          origin: 'simulated',
          author: 'p-1',
          shiftDate: '2026-05-12',
          reason: 'was not assigned',
        },
        ...{ corrects: null, body: { kind: 'passMoved', passId, joint: 'J-0001', ...work } },
      });
    };
    for (const { passId } of passes.slice(4)) move(passId, `e-${passId}`);
    const left = passes.slice(0, 4).map(({ passId }) => passId);
    expect(facts.unassigned().map(({ passId }) => passId)).toEqual(left.toReversed());
  });
});
