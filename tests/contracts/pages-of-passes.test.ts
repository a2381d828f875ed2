import { describe, expect, it } from 'vitest';
import { ORIGINS } from '#core/messages/common';
import { fillWithJoints } from '../support/many-joints.ts';
import { tempDir } from '../support/temp-dir.ts';
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
