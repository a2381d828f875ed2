import { erf, inv, lgamma, lusolve, type Matrix, matrix } from 'mathjs';
import * as simple from 'simple-statistics';
import { expect, test } from 'vitest';
import {
  chiSquaredQuantile,
  fDistribution,
  fQuantile,
  normalDensity,
  normalDistribution,
} from '#core/statistics/distributions';
import { incompleteBeta, lnGamma } from '#core/statistics/gamma-functions';
import { gaussLegendre } from '#core/statistics/gauss-legendre';
import { inverseOfPositiveDefinite, solveInPlace } from '#core/statistics/linear-algebra';

test('the normal distribution agrees with a reference library (mathjs erf)', () => {
  for (let x = -5; x <= 5; x += 0.25) {
    expect(normalDistribution(x)).toBeCloseTo(0.5 * (1 + erf(x / Math.SQRT2)), 14);
  }
  // Abramowitz & Stegun table 26.1 and 26.2, from memory.
  expect(normalDistribution(1.96)).toBeCloseTo(0.975002104852, 12);
  expect(normalDistribution(-6)).toBeCloseTo(9.865876450377e-10, 20);
  expect(normalDensity(0)).toBeCloseTo(0.398942280401, 12);
});

test('chi-squared quantiles: Johnson & Wichern print 9.49 and 13.28 for 4 degrees of freedom', () => {
  expect(chiSquaredQuantile(0.95, 4)).toBeCloseTo(9.49, 2);
  expect(chiSquaredQuantile(0.99, 4)).toBeCloseTo(13.28, 2);
});

test('chi-squared quantiles agree with the table of a reference library (simple-statistics)', () => {
  const table = simple.chiSquaredDistributionTable as unknown as Record<string, Record<string, number>>;
  for (const degrees of [1, 2, 4, 5, 10, 30]) {
    for (const tail of ['0.95', '0.9', '0.5', '0.05', '0.01']) {
      const expected = table[degrees]?.[tail];
      if (expected === undefined) throw new Error(`no table value for ${degrees}, ${tail}`);
      expect(Math.abs(chiSquaredQuantile(1 - Number(tail), degrees) - expected)).toBeLessThan(0.0051);
    }
  }
});

test('F quantiles: 5 % and 1 % points of standard tables (from memory)', () => {
  expect(fQuantile(0.95, 5, 20)).toBeCloseTo(2.71, 2);
  expect(fQuantile(0.99, 4, 36)).toBeCloseTo(3.89, 2);
  expect(fQuantile(0.95, 1, 10)).toBeCloseTo(4.96, 2);
  // F(1, n) is the square of Student's t; F(d1, ∞) is χ²/d1.
  expect(fQuantile(0.95, 4, 1e9)).toBeCloseTo(chiSquaredQuantile(0.95, 4) / 4, 6);
  expect(fDistribution(fQuantile(0.975, 3, 7), 3, 7)).toBeCloseTo(0.975, 12);
});

test('I_x(a, b) + I_1−x(b, a) = 1 and ln Γ agrees with a reference library (mathjs)', () => {
  for (const [a, b, x] of [
    [0.5, 3, 0.2],
    [4, 2, 0.7],
    [20, 11, 0.5],
  ] as const) {
    expect(incompleteBeta(a, b, x) + incompleteBeta(b, a, 1 - x)).toBeCloseTo(1, 13);
  }
  for (const x of [0.3, 0.5, 2.5, 10, 100]) expect(lnGamma(x) / Number(lgamma(x))).toBeCloseTo(1, 11);
});

test('Gauss–Legendre integrates polynomials of degree 2n − 1 exactly and smooth functions to the last digits', () => {
  const { nodes, weights } = gaussLegendre(5, 0, 2);
  const integral = (f: (x: number) => number): number =>
    nodes.reduce((sum, x, i) => sum + weights[i]! * f(x), 0);
  expect(integral(x => x ** 9)).toBeCloseTo(2 ** 10 / 10, 10);
  expect(integral(() => 1)).toBeCloseTo(2, 14);
  const fine = gaussLegendre(120, -8, 8);
  expect(fine.nodes.reduce((sum, x, i) => sum + fine.weights[i]! * normalDensity(x), 0)).toBeCloseTo(1, 13);
});

const system = [
  [4, 1, 0.5, -1],
  [1, 3, 0.2, 0.1],
  [0.5, 0.2, 2, 0.4],
  [-1, 0.1, 0.4, 5],
];

test('linear solve and inverse agree with a reference library (mathjs)', () => {
  const right = [1, -2, 3, 0.5];
  const ours = solveInPlace(Float64Array.from(system.flat()), Float64Array.from(right))!;
  const theirs = (lusolve(matrix(system), right) as Matrix).toArray().flat() as number[];
  ours.forEach((value, i) => {
    expect(value).toBeCloseTo(theirs[i]!, 12);
  });
  const inverse = inverseOfPositiveDefinite(Float64Array.from(system.flat()), 4)!;
  inv(system)
    .flat()
    .forEach((value, i) => {
      expect(inverse[i]).toBeCloseTo(value, 12);
    });
});

test('singular matrices have no answer', () => {
  expect(solveInPlace(Float64Array.of(1, 2, 2, 4), Float64Array.of(1, 2))).toBeNull();
  expect(inverseOfPositiveDefinite(Float64Array.of(1, 2, 2, 4), 2)).toBeNull();
  expect(inverseOfPositiveDefinite(Float64Array.of(1, 2, 2, 1), 2)).toBeNull();
});
