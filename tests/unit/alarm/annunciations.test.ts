import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Annunciation, budgetState, foldsOf } from '#core/alarm/annunciations';

const MIN = 60_000;
const at = (...ms: number[]): Annunciation[] => ms.map((atMs, i) => ({ number: i + 1, atMs }));

describe('the budget of announcements', () => {
  /** 6 an hour, 12 the ceiling, more than 10 in 10 min a flood: ISA-18.2 / EEMUA 191 guidance, from memory. */
  it.each([
    [6, 5, 'within'],
    [7, 8, 'above'],
    [12, 4, 'above'],
    [13, 4, 'overCeiling'],
    [10, 0.5, 'above'],
    [11, 0.5, 'flood'],
  ])('%d, one every %d min: %s', (n, everyMin, state) => {
    const times = Array.from({ length: n }, (_, i) => -i * everyMin * MIN);
    expect(budgetState(times, 0)).toMatchObject({ state, lastHour: n });
  });

  it('forgets what is an hour old, and what has not been yet', () => {
    const times = [-60 * MIN, -60 * MIN + 1, -10 * MIN, -10 * MIN + 1, 1];
    expect(budgetState(times, 0)).toEqual({ last10Min: 1, lastHour: 3, state: 'within' });
  });
});

describe('folding', () => {
  it('begins with the seventh in 60 s and takes the six before it along', () => {
    const six = [0, 10, 20, 30, 40, 50].map(s => s * 1000);
    expect(foldsOf(at(...six))).toEqual([]);
    expect(foldsOf(at(...six, 60_000))).toEqual([
      { fromMs: 0, toMs: 60_000, numbers: [1, 2, 3, 4, 5, 6, 7] },
    ]);
    expect(foldsOf(at(...six, 60_001))).toEqual([]);
  });

  it('is two lines where calm lies between', () => {
    const burst = (from: number) => Array.from({ length: 8 }, (_, i) => from + i * 100);
    const folds = foldsOf(at(...burst(0), 5 * MIN, ...burst(10 * MIN)));
    expect(folds.map(({ numbers }) => numbers.length)).toEqual([8, 8]);
  });

  it('is exactly those that lie in some 60 s with more than six', () => {
    const times = fc
      .array(fc.integer({ min: 0, max: 600 }), { maxLength: 40 })
      .map(all => all.sort((a, b) => a - b));
    fc.assert(
      fc.property(times, seconds => {
        const all = at(...seconds.map(s => s * 1000));
        const crowded = all.filter(({ atMs, number }) =>
          all.some(
            first =>
              first.atMs <= atMs &&
              atMs <= first.atMs + 60_000 &&
              first.number <= number &&
              all.filter(o => o.atMs >= first.atMs && o.atMs <= first.atMs + 60_000).length > 6,
          ),
        );
        const folded = foldsOf(all).flatMap(({ numbers }) => numbers);
        expect(folded).toEqual(crowded.map(({ number }) => number));
        expect(new Set(folded).size).toBe(folded.length);
      }),
    );
  });
});
