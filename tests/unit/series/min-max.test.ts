import { describe, expect, it } from 'vitest';
import { coverageOf, gapsIn } from '#core/series/coverage';
import { joinHistory } from '#core/series/join-history';
import { extremesOf, MinMaxBuckets } from '#core/series/min-max';

const chunkAt = (...times: number[]) => ({
  n: times.length,
  tUs: Float64Array.from(times),
  lengthUs: null,
  columns: {},
});

describe('MinMaxBuckets', () => {
  it('cuts the range into buckets that start at it, and gives the last one its end', () => {
    const buckets = new MinMaxBuckets(100, 200, 4);
    buckets.addSamples(Float64Array.of(100, 124, 125, 200, 201), Float64Array.of(3, 1, 7, 9, 99));
    expect(buckets.finish()).toEqual({ tUs: [100, 125, 175], min: [1, 7, 9], max: [3, 7, 9] });
  });

  it('leaves out buckets of which nothing is known', () => {
    const buckets = new MinMaxBuckets(0, 100, 2);
    buckets.addSamples(Float64Array.of(10, 60), Float64Array.of(Number.NaN, 5));
    expect(buckets.finish()).toEqual({ tUs: [50], min: [5], max: [5] });
    expect(extremesOf(Float64Array.of(Number.NaN))).toBeNull();
  });

  it('never makes more buckets than there are microseconds', () => {
    const buckets = new MinMaxBuckets(0, 3, 1000);
    expect(buckets.widthUs).toBe(1);
  });

  it('refuses a range without length', () => {
    expect(() => new MinMaxBuckets(5, 5, 10)).toThrow(RangeError);
    expect(() => new MinMaxBuckets(0, 5, 0)).toThrow(RangeError);
  });
});

describe('gaps between chunks', () => {
  const first = coverageOf(chunkAt(0, 10_000, 20_000, 30_000, 40_000, 50_000));

  it('a pause of up to 0.25 s at 100 Hz is none, a longer one is', () => {
    const near = coverageOf(chunkAt(300_000, 310_000), first.periodUs);
    expect(gapsIn([first, near], 0, 400_000)).toEqual([]);
    const far = coverageOf(chunkAt(300_001, 310_000), first.periodUs);
    expect(gapsIn([first, far], 0, 400_000)).toEqual([{ fromUs: 50_000, toUs: 300_001 }]);
  });

  it('a slow source has its own measure: 5 periods', () => {
    const slow = coverageOf(chunkAt(0, 1e6, 2e6, 3e6, 4e6, 5e6, 10e6, 15.1e6));
    expect(slow.gaps).toEqual([{ fromUs: 10e6, toUs: 15.1e6 }]);
  });

  it('time before the first sample is a gap, time after the last is not known yet', () => {
    const later = coverageOf(chunkAt(1_000_000, 1_010_000), 10_000);
    expect(gapsIn([later], 500_000, 2_000_000)).toEqual([{ fromUs: 500_000, toUs: 1_000_000 }]);
  });

  it('two samples across a gap do not pass it off as their period', () => {
    const across = coverageOf(chunkAt(60_000, 2_000_000), first.periodUs);
    expect(across.gaps).toEqual([{ fromUs: 60_000, toUs: 2_000_000 }]);
  });
});

describe('joinHistory', () => {
  it('draws what both hold once, and leaves unknown live values out', () => {
    const joined = joinHistory({ tUs: [0, 100], min: [1, 2], max: [3, 4] }, [
      { tUs: 50, value: 9 },
      { tUs: 100, value: 9 },
      { tUs: 150, value: null },
      { tUs: 200, value: 5 },
    ]);
    expect(joined).toEqual({ tUs: [0, 100, 200], min: [1, 2, 5], max: [3, 4, 5] });
  });
});
