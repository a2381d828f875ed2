import { describe, expect, it } from 'vitest';
import { ORIGINS } from '#core/messages/common';
import { JournalFacts } from '../../dashboard/server/api/journal-facts.ts';
import type { RigBoard } from '../../dashboard/server/live/rig-board.ts';
import { overJoints, passTypes } from '../../dashboard/server/watch/over-joints.ts';
import { watchState } from '../../dashboard/server/watch/watch-state.ts';
import { fillWithJoints } from '../support/many-joints.ts';
import { tempDir } from '../support/temp-dir.ts';
import { START_MS } from '../support/test-records.ts';
import { openDatabase, openStore } from '../support/test-store.ts';

describe('a page of passes', () => {
  it.each(ORIGINS)('of one origin (%s) is read in the order of its index, and nothing is sorted', origin => {
    const directory = tempDir();
    const store = openStore(directory);
    fillWithJoints(store, 30);
    const plan = openDatabase(directory)
      .prepare(
        `EXPLAIN QUERY PLAN SELECT message FROM passes WHERE origin = ? AND (start_utc, pass_id) < (?, ?)
         ORDER BY start_utc DESC, pass_id DESC LIMIT ?`,
      )
      .all(origin, '2027', 'z', 51) as { detail: string }[];
    expect(plan.map(({ detail }) => detail)).toEqual([
      expect.stringMatching(/^SEARCH passes USING INDEX passes_by_origin \(origin=\? AND /),
    ]);
    const { items, next } = store.passes({ origin, limit: 50 });
    expect(items).toHaveLength(origin === 'simulated' ? 50 : 0);
    expect(next === null).toBe(origin !== 'simulated');
  });
});

describe('what is said over thousands of passes', () => {
  it('gives way after every page, so that live values and records come in between', () => {
    const store = openStore(tempDir());
    fillWithJoints(store, 250);
    const board = { assignmentsOf: () => [] } as unknown as RigBoard;
    const context = { store, facts: new JournalFacts({ store, board, now: () => new Date(START_MS) }) };
    const asked = { procedureId: 'example-610', pass: 'root', origin: 'simulated', limit: 1000 } as const;
    const works = [watchState(store), passTypes(context), overJoints(context, asked)];
    for (const steps of works) {
      let pauses = 0;
      while (!steps.next().done) pauses++;
      expect(pauses).toBeGreaterThanOrEqual(500 / 200);
    }
  });
});
