import { expect, test } from 'vitest';
import { Cusum } from '#core/drift/cusum';
import { Ewma, ewmaHalfWidth } from '#core/drift/ewma';
import { individualsLimits } from '#core/drift/individuals';

const near = (got: readonly number[], expected: readonly number[], tolerance: number): void => {
  expect(got).toHaveLength(expected.length);
  got.forEach((value, i) => {
    expect(Math.abs(value - expected[i]!)).toBeLessThanOrEqual(tolerance + 1e-9);
  });
};

// NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.3 CUSUM Control Charts (tabular form).
test('NIST groups of four: both sums, first signal at group 14', () => {
  const x = [
    324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625, 325.15,
    328.325, 327.25, 327.825, 328.5, 326.675, 327.775, 326.875, 328.35,
  ];
  const cusum = new Cusum({ k: 0.3175, h: 4.1959 });
  const high: number[] = [];
  const low: number[] = [];
  const signals: number[] = [];
  const plain: number[] = [];
  x.forEach((value, i) => {
    if (cusum.add(value - 325) !== null) signals.push(i + 1);
    high.push(cusum.high);
    low.push(cusum.low);
    plain.push((plain[i - 1] ?? 0) + value - 325);
  });
  near(
    high,
    [0, 0, 0, 0, 0.03, 0, 0, 0, 0, 0, 0, 0, 3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.0, 19.04],
    0.005,
  );
  near(low, [0, 0.01, 0, 0.33, 0, 0, 0.56, 0.72, 0.17, 0.25, 0.31, 0, 0, 0, 0, 0, 0, 0, 0, 0], 0.005);
  near(
    plain,
    [
      -0.07, -0.4, -0.67, -1.32, -0.97, -0.75, -1.62, -2.1, -1.87, -2.27, -2.65, -2.5, 0.83, 3.08, 5.9, 9.4,
      11.08, 13.85, 15.73, 19.08,
    ],
    0.005,
  );
  expect(signals).toEqual([14, 15, 16, 17, 18, 19, 20]);
});

const MONTGOMERY = [
  9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.2, 10.34, 9.03, 11.47, 10.51, 9.4, 10.08, 9.37, 10.62,
  10.31, 8.52, 10.84, 10.9, 9.33, 12.29, 11.5, 10.6, 11.08, 10.38, 11.62, 11.31, 10.52,
];

// Montgomery, Introduction to Statistical Quality Control, Example 9.1, Tables 9.1/9.2.
test('Montgomery Example 9.1: C+, signal at 29, shift dated between 22 and 23', () => {
  const cusum = new Cusum({ k: 0.5, h: 5 });
  const high: number[] = [];
  const signals = MONTGOMERY.map(value => {
    const signal = cusum.add(value - 10);
    high.push(cusum.high);
    return signal;
  });
  near(
    high,
    [
      0, 0, 0, 1.16, 2.82, 2.5, 0.04, 1.0, 0, 0, 0, 0.97, 0.98, 0, 0, 0, 0.12, 0, 0, 0.34, 0.74, 0, 1.79,
      2.79, 2.89, 3.47, 3.35, 4.47, 5.28, 5.3,
    ],
    1e-6,
  );
  expect(signals.findIndex(signal => signal !== null) + 1).toBe(29);
  const first = signals[28]!;
  // The last value in control is the 22nd, N+ = 7; the size of the shift is k + C+/N+.
  expect(first.onset + 1).toBe(23);
  expect(28 - first.onset + 1).toBe(7);
  expect(first.direction).toBe('high');
  expect(first.shift).toBeCloseTo(0.5 + 5.28 / 7, 6);
});

test('a fall is found as a fall, at its onset; gaps in the values change nothing', () => {
  const cusum = new Cusum({ k: 1, h: 5 });
  const values = [...new Array(20).fill(0), ...new Array(10).fill(-3)];
  const signals = values.map(value => {
    expect(cusum.add(Number.NaN)).toBeNull();
    return cusum.add(value);
  });
  const first = signals.find(signal => signal !== null)!;
  expect(first).toMatchObject({ direction: 'low', onset: 20 });
  expect(first.shift).toBeCloseTo(-3, 9);
  expect(signals.indexOf(first)).toBe(22);
});

// NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.4 EWMA Control Charts; the first printed value is the start.
test('NIST EWMA: 21 values and both limits, no signal', () => {
  const x = [
    52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6,
    52.4, 53.6, 52.1,
  ];
  const ewma = new Ewma(50, { lambda: 0.3, width: 3 });
  const averages = [ewma.average, ...x.map(value => ewma.add(value))];
  near(
    averages,
    [
      50.0, 50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05,
      49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
    ],
    0.005,
  );
  const half = ewmaHalfWidth({ lambda: 0.3, width: 3 }, 2.0539);
  // The printed limits carry a rounded factor: 1e-4.
  expect(Math.abs(50 + half - 52.5884)).toBeLessThan(1e-4);
  expect(Math.abs(50 - half - 47.4115)).toBeLessThan(1e-4);
  expect(averages.every(value => Math.abs(value - 50) < half)).toBe(true);
  expect(ewma.add(Number.NaN)).toBe(ewma.average);
  expect(ewma.count).toBe(20);
});

// Montgomery, ISQC, Example 9.2, Table 9.10: from memory, recomputed.
test('Montgomery EWMA with widening limits: first outside at 29 (from memory)', () => {
  const settings = { lambda: 0.1, width: 2.7 };
  const ewma = new Ewma(10, settings);
  const z = MONTGOMERY.map(value => ewma.add(value));
  near(z.slice(0, 4), [9.945, 9.7495, 9.70355, 9.8992], 0.005);
  near(z.slice(27, 30), [10.5731, 10.6468, 10.6341], 0.005);
  near(
    [1, 2].map(n => 10 + ewmaHalfWidth(settings, 1, n)),
    [10.27, 10.36],
    0.005,
  );
  expect(Math.abs(ewmaHalfWidth(settings, 1) - 0.62)).toBeLessThan(0.005);
  expect(z.findIndex((value, i) => Math.abs(value - 10) > ewmaHalfWidth(settings, 1, i + 1)) + 1).toBe(29);
});

// NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.2 Individuals Control Charts (flow rate).
test('NIST individuals: mean, moving range, limits', () => {
  const x = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];
  const limits = individualsLimits(x)!;
  near(
    [limits.centre, limits.meanMovingRange, limits.upper, limits.lower],
    [50.81, 1.8778, 55.8041, 45.8159],
    5.1e-5,
  );
  expect(x.every(value => value > limits.lower && value < limits.upper)).toBe(true);
  expect(individualsLimits([1])).toBeNull();
});
