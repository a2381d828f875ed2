import { inv, matrix, multiply, transpose } from 'mathjs';
import { linearRegression, sampleCovariance } from 'simple-statistics';
import { expect, test } from 'vitest';
import {
  type Baseline,
  contributions,
  learnBaseline,
  tSquared,
  tSquaredLimit,
  tSquaredLimitKnown,
} from '#core/drift/hotelling';
import { crossingOf, theilSen } from '#core/drift/theil-sen';
import { WELDER_ROWS } from './fixtures/welder-rows.ts';

const NAMES = ['arc voltage', 'welding current', 'wire feed speed', 'gas flow'];
const rows = WELDER_ROWS.map(row => row.map((value, i) => (i === 3 ? Math.log(value) : value)));
const learned = (from: readonly (readonly number[])[], names = NAMES): Baseline => {
  const result = learnBaseline(from, names);
  if (result.kind !== 'baseline') throw new Error(result.text);
  return result.baseline;
};

// Johnson & Wichern, Applied Multivariate Statistical Analysis, 6th ed., Table 5.9 and Example 5.11: 40 measured automatic welds.
// The T² of case 31 is computed from the data, not printed; the 3σ chart limits of ln gas flow are as remembered.
test('forty measured welds: only case 31 is out, on its gas flow (Johnson & Wichern Example 5.11)', () => {
  const baseline = learned(rows);
  [22.2875, 272.575, 288.435, 3.9506].forEach((mean, i) => {
    expect(Math.abs(baseline.mean[i]! - mean)).toBeLessThan(0.005);
  });
  const t2 = rows.map(row => tSquared(baseline, row));
  const limit95 = tSquaredLimitKnown(4, 0.95);
  expect(limit95).toBeCloseTo(9.49, 2);
  expect(t2.flatMap((value, i) => (value > limit95 ? [i + 1] : []))).toEqual([31]);
  expect(t2.filter(value => value > tSquaredLimitKnown(4, 0.99))).toEqual([]);
  expect(Math.abs(t2[30]! - 11.991)).toBeLessThan(0.005);
  const [largest] = contributions(baseline, rows[30]!);
  expect(NAMES[largest!.channel]).toBe('gas flow');
  expect(largest!.deviations).toBeGreaterThan(3);
  const sd = baseline.standardDeviation[3]!;
  expect(Math.abs(baseline.mean[3]! + 3 * sd - 4.005)).toBeLessThan(0.005);
  expect(Math.abs(baseline.mean[3]! - 3 * sd - 3.896)).toBeLessThan(0.005);
  const outside = rows.flatMap((row, i) => (Math.abs(row[3]! - baseline.mean[3]!) > 3 * sd ? [i + 1] : []));
  expect(outside).toEqual([31]);
});

test('T² and its parts agree with a reference library (mathjs, simple-statistics)', () => {
  const baseline = learned(rows);
  const columns = NAMES.map((_, i) => rows.map(row => row[i]!));
  const covariance = columns.map(a => columns.map(b => sampleCovariance(a, b)));
  const without = (skip: number, row: readonly number[]): number => {
    const kept = NAMES.map((_, i) => i).filter(i => i !== skip);
    const d = matrix(kept.map(i => [row[i]! - baseline.mean[i]!]));
    const s = inv(matrix(kept.map(i => kept.map(j => covariance[i]![j]!))));
    return multiply(multiply(transpose(d), s), d).get([0, 0]) as number;
  };
  for (const row of rows.slice(25, 35)) {
    const whole = without(-1, row);
    expect(tSquared(baseline, row)).toBeCloseTo(whole, 8);
    for (const { channel, amount } of contributions(baseline, row)) {
      expect(amount).toBeCloseTo(whole - without(channel, row), 7);
    }
  }
});

test('the limit for a new window is above χ² and falls to it as the baseline grows', () => {
  const few = tSquaredLimit({ ...learned(rows), count: 20 }, 0.99);
  const many = tSquaredLimit({ ...learned(rows), count: 200_000 }, 0.99);
  expect(few).toBeGreaterThan(tSquaredLimitKnown(4, 0.99) * 1.2);
  expect(many / tSquaredLimitKnown(4, 0.99)).toBeCloseTo(1, 3);
});

test.each([
  [rows.slice(0, 5), NAMES, '5 windows are too few for 4 channels: at least 6'],
  [rows.map(row => [row[0]!, 7]), ['arc voltage', 'gas flow'], 'gas flow never varied'],
  [
    rows.map(row => [row[0]!, row[1]!, row[0]! + row[1]!]),
    ['a', 'b', 'c'],
    'a, b, c: one follows exactly from the others',
  ],
  [
    rows.map((row, i) => [row[0]!, i === 3 ? Number.NaN : row[1]!]),
    ['a', 'b'],
    'b has a value that is not finite',
  ],
  [rows, [], 'no channel to learn from'],
])('a baseline that cannot be: %#', (from, names, text) => {
  expect(learnBaseline(from, names)).toEqual({ kind: 'notDerivable', text });
});

test('Theil–Sen on clean points is the least-squares line (simple-statistics); a third wild points do not move it', () => {
  const x = Array.from({ length: 40 }, (_, i) => i * 25);
  const clean = x.map(at => 236 - 0.01 * at);
  const reference = linearRegression(x.map((at, i) => [at, clean[i]!]));
  const line = theilSen(x, clean)!;
  expect(line.slope).toBeCloseTo(reference.m, 12);
  expect(line.intercept).toBeCloseTo(reference.b, 9);
  const wild = clean.map((value, i) => (i % 4 === 0 ? value + 80 : value));
  expect(theilSen(x, wild)!.slope).toBeCloseTo(-0.01, 3);
  expect(Math.abs(linearRegression(x.map((at, i) => [at, wild[i]!])).m + 0.01)).toBeGreaterThan(0.0005);
});

// Sen, J. Amer. Statist. Assoc. 63 (1968): his worked example, x 1 2 3 4 10 12 18, y 9 15 19 20 45 55 78, slope 4 (from memory).
test('Sen’s own example has the slope 4 (from memory)', () => {
  const line = theilSen([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78])!;
  expect(line.slope).toBeCloseTo(4, 1);
  expect(line.intercept).toBeCloseTo(6, 0);
});

test('one point, equal places or no numbers have no line', () => {
  expect(theilSen([1], [2])).toBeNull();
  expect(theilSen([1, 1], [2, 3])).toBeNull();
  expect(theilSen([1, 2], [Number.NaN, 3])).toBeNull();
});

test('where a falling current crosses its minimum before the pass ends', () => {
  const line = { slope: -0.02, intercept: 236 };
  const limits = { min: 220, max: 260 };
  expect(crossingOf(line, limits, 300, 958)).toEqual({ at: expect.closeTo(800, 6), limit: 'min' });
  expect(crossingOf(line, limits, 300, 790)).toBeNull();
  expect(crossingOf(line, limits, 900, 958)).toEqual({ at: 900, limit: 'min' });
  expect(crossingOf({ slope: 0, intercept: 236 }, limits, 0, 958)).toBeNull();
  expect(crossingOf({ slope: 0.1, intercept: 236 }, { min: null, max: 260 }, 0, 958)).toMatchObject({
    limit: 'max',
    at: expect.closeTo(240, 6),
  });
  expect(crossingOf(line, { min: null, max: null }, 0, 958)).toBeNull();
});
