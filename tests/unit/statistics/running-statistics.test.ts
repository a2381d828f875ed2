import * as reference from 'simple-statistics';
import { expect, test } from 'vitest';
import { lagOneAutocorrelation } from '#core/statistics/autocorrelation';
import { CompensatedSum } from '#core/statistics/compensated-sum';
import { median } from '#core/statistics/median';
import { mean, RunningStatistics, standardDeviation } from '#core/statistics/running-statistics';
import { type StrdSet, strd } from './fixtures/strd.ts';

const valuesOf = (x: StrdSet['x']): number[] =>
  'length' in x ? [...x] : [x.first, ...Array.from({ length: x.thenPairs }, () => x.pair).flat()];

// NIST Statistical Reference Datasets (StRD), Univariate Summary Statistics; sd with n − 1; certified values.
for (const set of strd) {
  const values = valuesOf(set.x);

  test(`${set.name}: mean and standard deviation (${set.source})`, () => {
    expect(values).toHaveLength(set.n);
    expect(Math.abs(mean(values)! / set.mean - 1)).toBeLessThan(1e-14);
    expect(Math.abs(standardDeviation(values)! / set.sd - 1)).toBeLessThan(set.relativeTolerance);
  });

  test(`${set.name}: lag-1 autocorrelation (${set.source})`, () => {
    expect(Math.abs(lagOneAutocorrelation(values)! / set.lag1 - 1)).toBeLessThan(set.relativeTolerance);
  });

  test(`${set.name}: in two halves, merged`, () => {
    const halves = [new RunningStatistics(), new RunningStatistics()] as const;
    values.forEach((value, i) => {
      halves[i * 2 < values.length ? 0 : 1].add(value);
    });
    halves[0].merge(halves[1]);
    expect(halves[0].count).toBe(set.n);
    expect(Math.abs(halves[0].standardDeviation! / set.sd - 1)).toBeLessThan(set.relativeTolerance);
    expect(halves[0].min).toBe(Math.min(...values));
    expect(halves[0].max).toBe(Math.max(...values));
  });

  test(`${set.name}: a reference library agrees`, () => {
    expect(standardDeviation(values)! / reference.sampleStandardDeviation(values)).toBeCloseTo(1, 7);
    expect(median(values)).toBe(reference.median(values));
  });
}

test('NumAcc4 by the sum of squares is wrong, which is why Welford is here', () => {
  const values = valuesOf(strd.find(set => set.name === 'NumAcc4')!.x);
  const sum = values.reduce((a, b) => a + b, 0);
  const squares = values.reduce((a, b) => a + b * b, 0);
  const variance = (squares - (sum * sum) / values.length) / (values.length - 1);
  expect(Math.abs(Math.sqrt(Math.abs(variance)) - 0.1)).toBeGreaterThan(0.01);
});

test('nothing yet is null, not 0', () => {
  const none = new RunningStatistics();
  expect([
    none.mean,
    none.standardDeviation,
    none.min,
    none.max,
    median([]),
    lagOneAutocorrelation([1]),
  ]).toEqual([null, null, null, null, null, null]);
  none.merge(new RunningStatistics());
  expect(none.count).toBe(0);
});

test('an 8 h sum at 1 kHz loses nothing', () => {
  const sum = new CompensatedSum();
  let plain = 0;
  const n = 8 * 3600 * 1000;
  for (let i = 0; i < n; i++) {
    sum.add(0.1);
    plain += 0.1;
  }
  // 0.1 as a double, times n, rounded once.
  expect(sum.value).toBe(0.1 * n);
  expect(plain).not.toBe(0.1 * n);
});

test("Neumaier's own case: 1 + 1e100 + 1 − 1e100 is 2 (Neumaier, ZAMM 54, 1974; from memory)", () => {
  const sum = new CompensatedSum();
  for (const value of [1, 1e100, 1, -1e100]) sum.add(value);
  expect(sum.value).toBe(2);
});
