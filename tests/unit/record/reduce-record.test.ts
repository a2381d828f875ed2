import { describe, expect, it } from 'vitest';
import { isEmptied, pruneRecord, thinRecord, thinSamples } from '#core/record/reduce-record';
import { fromBase64 } from '#core/sample/base64';
import { decodeChunk } from '#core/sample/codec';
import { testBody, testChunk, testEvent } from '../../support/test-records.ts';

const T0 = 1_000_000_000;

/** Samples at `tMs` after T0, with these columns. */
function chunk(tMs: readonly number[], columns: Record<string, readonly number[]>, lengthMs?: number) {
  return {
    n: tMs.length,
    tUs: Float64Array.from(tMs, t => T0 + t * 1000),
    lengthUs: lengthMs === undefined ? null : new Float64Array(tMs.length).fill(lengthMs * 1000),
    columns: Object.fromEntries(
      Object.entries(columns).map(([name, values]) => [name, Float64Array.from(values)]),
    ),
  };
}

// Worked by hand.
describe('samples thinned to a second', () => {
  it('are means of at most a second with the interval they count for, beside least and greatest', () => {
    const tMs = Array.from({ length: 25 }, (_, i) => i * 100);
    const amps = tMs.map((_, i) => 100 + i);
    const { chunk: thin, extremes } = thinSamples(chunk(tMs, { weldingCurrent: amps }));
    expect([...thin.tUs]).toEqual([T0, T0 + 1e6, T0 + 2e6]);
    expect([...thin.lengthUs!]).toEqual([1e6, 1e6, 5e5]);
    expect([...thin.columns.weldingCurrent!]).toEqual([104.5, 114.5, 122]);
    expect(extremes).toEqual({
      weldingCurrent: [
        [100, 109],
        [110, 119],
        [120, 124],
      ],
    });
  });

  it('do not reach over a gap, and count no longer than their last sample does', () => {
    const { chunk: thin } = thinSamples(chunk([0, 100, 200, 700, 800], { weldingCurrent: [1, 1, 1, 3, 3] }));
    expect([...thin.tUs]).toEqual([T0, T0 + 7e5]);
    expect([...thin.lengthUs!]).toEqual([3e5, 2e5]);
    const alone = thinSamples(chunk([0], { weldingCurrent: [1] })).chunk;
    expect([...alone.lengthUs!]).toEqual([0]);
    const averaged = thinSamples(chunk([0, 50], { weldingCurrent: [1, 2] }, 50)).chunk;
    expect([...averaged.lengthUs!]).toEqual([100_000]);
  });

  it('know nothing where nothing was known, and no mean of a number that is a name', () => {
    const { chunk: thin, extremes } = thinSamples(
      chunk([0, 100, 1000, 1100], {
        arcVoltage: [Number.NaN, Number.NaN, Number.NaN, 20],
        travelDistance: [5, 6, 15, 16],
        program: [3, 3, 3, 4],
      }),
    );
    expect([...thin.columns.arcVoltage!]).toEqual([Number.NaN, 20]);
    expect(extremes.arcVoltage).toEqual([null, [20, 20]]);
    // A length that counts up is what it was at the start; between two programs there is none.
    expect([...thin.columns.travelDistance!]).toEqual([5, 15]);
    expect([...thin.columns.program!]).toEqual([3, Number.NaN]);
  });
});

describe('a batch reduced', () => {
  const whole = testBody({ chunk: testChunk(T0, 100), events: [testEvent(1)] });

  it('to seconds keeps everything but the raw samples, and says how many they were', () => {
    const thin = thinRecord(whole)!;
    expect({ ...thin, samples: null, reduced: undefined }).toEqual({ ...whole, samples: null });
    expect(decodeChunk(fromBase64(thin.samples!.data)).n).toBe(thin.samples!.n);
    expect(thin.reduced).toMatchObject({ n: 100, lastUs: T0 + 990_000 });
    expect(thinRecord(thin)).toBeNull();
  });

  it('to nothing is the same from the whole and from what was thinned', () => {
    const pruned = pruneRecord(whole)!;
    expect(pruned).toEqual({
      ...whole,
      samples: null,
      reduced: { n: 100, lastUs: T0 + 990_000, extremes: {} },
    });
    expect(pruneRecord(thinRecord(whole)!)).toEqual(pruned);
    expect(pruneRecord(pruned)).toBeNull();
    expect([isEmptied(pruned), isEmptied({ ...pruned, events: [] })]).toEqual([false, true]);
  });
});
