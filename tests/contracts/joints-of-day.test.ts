/** Which joints a day has, as passes count now; read out of that day alone, however many years the store holds. */
import { describe, expect, it } from 'vitest';
import { JournalFacts } from '../../dashboard/server/api/journal-facts.ts';
import { jointsOfDay } from '../../dashboard/server/export/joints-of-day.ts';
import type { RigBoard } from '../../dashboard/server/live/rig-board.ts';
import { fillWithJoints } from '../support/many-joints.ts';
import { tempDir } from '../support/temp-dir.ts';
import { START_MS, testPass } from '../support/test-records.ts';
import { openDatabase, openStore } from '../support/test-store.ts';
import { AT, one } from './store/store-support.ts';

const DAY_MS = 86_400_000;
const MIDNIGHT_MS = START_MS - (START_MS % DAY_MS);
const day = (n: number) => ({ fromMs: MIDNIGHT_MS + n * DAY_MS, toMs: MIDNIGHT_MS + (n + 1) * DAY_MS });

describe('the joints of a day', () => {
  it('are those a pass of that day counts for now: moved ones where they were moved to, and no longer where not', () => {
    const store = openStore(tempDir());
    const board = { assignmentsOf: () => [] } as unknown as RigBoard;
    const facts = new JournalFacts({ store, board, now: () => new Date(START_MS) });
    const joints = ['J-1', 'J-2', null, 'J-4', 'J-1'] as const;
    const days = [0, 1, 0, 0, 1];
    const passes = joints.map((joint, i) => {
      const startUtc = new Date(START_MS + days[i]! * DAY_MS + i * 1000).toISOString();
      return testPass(i + 1, { joint, side: joint === null ? null : 'A', startUtc });
    });
    store.commitRecords([one(1, { passes })], AT);
    const work = { side: 'A', pass: 'root', procedureId: 'example-610', procedureRevision: 1 } as const;
    const move = (n: number, joint: string): void => {
      store.journal.add({
        ...{
          id: `e-${n}`,
          at: AT,
          origin: 'simulated',
          author: 'p-1',
          shiftDate: '2026-05-12',
          reason: 'typed',
        },
        ...{ corrects: null, body: { kind: 'passMoved', passId: passes[n - 1]!.passId, joint, ...work } },
      });
    };
    move(3, 'J-3');
    move(4, 'J-5');
    const of = (n: number) => jointsOfDay({ store, facts }, 'simulated', day(n));
    expect(of(0)).toEqual(['J-1', 'J-3', 'J-5']);
    expect(of(1)).toEqual(['J-1', 'J-2']);
    expect(of(2)).toEqual([]);
    expect(jointsOfDay({ store, facts }, 'real', day(0))).toEqual([]);
  });

  it('are looked up by when passes began, and nothing else is read', () => {
    const directory = tempDir();
    const store = openStore(directory);
    fillWithJoints(store, 30);
    const plan = openDatabase(directory)
      .prepare(
        `EXPLAIN QUERY PLAN SELECT pass_id AS passId, joint FROM passes
         WHERE origin = ? AND start_utc >= ? AND start_utc < ?`,
      )
      .all('simulated', '2026', '2027') as { detail: string }[];
    expect(plan.map(({ detail }) => detail)).toEqual([
      'SEARCH passes USING INDEX passes_by_origin (origin=? AND start_utc>? AND start_utc<?)',
    ]);
    const facts = new JournalFacts({
      store,
      board: { assignmentsOf: () => [] } as unknown as RigBoard,
      now: () => new Date(START_MS),
    });
    const looked: string[] = [];
    const { joint } = facts;
    facts.joint = (name, asked) => {
      looked.push(name);
      return joint.call(facts, name, asked);
    };
    const before = { ...store, joints: () => expect.fail('every joint there ever was is gone through') };
    const found = jointsOfDay(
      { store: Object.assign(Object.create(store), before), facts },
      'simulated',
      day(0),
    );
    expect(found.length).toBeGreaterThan(5);
    expect(looked).toHaveLength(found.length);
  });
});
