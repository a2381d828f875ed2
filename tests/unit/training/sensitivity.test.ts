import { erf } from 'mathjs';
import { expect, test } from 'vitest';
import { normalQuantile } from '#core/statistics/distributions';
import { correctedRate, dPrime, sensitivity } from '#core/training/sensitivity';

test('normal quantiles invert a reference library (mathjs erf) and are those of printed tables', () => {
  for (const p of [0.001, 0.1, 0.3, 0.5, 0.7, 0.975, 0.999]) {
    expect(0.5 * (1 + erf(normalQuantile(p) / Math.SQRT2))).toBeCloseTo(p, 12);
  }
  // Abramowitz & Stegun, tables 26.5 and 26.6, from memory.
  expect(normalQuantile(0.9)).toBeCloseTo(1.28155, 5);
  expect(normalQuantile(0.7)).toBeCloseTo(0.5244, 4);
  expect(normalQuantile(0.975)).toBeCloseTo(1.95996, 5);
});

test('hit rate 0.70 and false alarm rate 0.10 are d′ 1.806', () => {
  // z(0.70) − z(0.10) = 0.5244 + 1.2816: the tables of d′ in Macmillan & Creelman, Detection Theory, from memory.
  expect(dPrime(0.7, 0.1)).toBeCloseTo(1.806, 3);
  expect(dPrime(0.3, 0.3)).toBe(0);
});

test('rates are corrected log-linearly, so that the perfect trainee has a finite d′', () => {
  // Hautus 1995, from memory: 0.5 to each count, 1 to each number of trials.
  expect(correctedRate(10, 10)).toBeCloseTo(10.5 / 11, 15);
  expect(correctedRate(0, 10)).toBeCloseTo(0.5 / 11, 15);
  const { value } = sensitivity({ signals: 10, hits: 10, noises: 10, falseAlarms: 0 });
  expect(value!.dPrime).toBeCloseTo(2 * normalQuantile(10.5 / 11), 12);
  expect(value!.criterion).toBeCloseTo(0, 12);
});

test('the interval is that of Gourevitch & Galanter, by the slope of z worked out by differences', () => {
  const { value } = sensitivity({ signals: 20, hits: 14, noises: 40, falseAlarms: 4 });
  // The delta method without the formula: var(p) = p(1 − p)/n, and dz/dp by a difference of quantiles.
  const varianceOf = (p: number, n: number): number => {
    const slope = (normalQuantile(p + 1e-6) - normalQuantile(p - 1e-6)) / 2e-6;
    return (slope ** 2 * p * (1 - p)) / n;
  };
  const spread = 1.959964 * Math.sqrt(varianceOf(14.5 / 21, 20) + varianceOf(4.5 / 41, 40));
  expect(value!.high - value!.dPrime).toBeCloseTo(spread, 5);
  expect(value!.dPrime - value!.low).toBeCloseTo(spread, 5);
  // A trainee who seldom calls has a criterion above 0 (Macmillan & Creelman, from memory).
  expect(value!.criterion).toBeGreaterThan(0);
});

test.each([
  [9, 40],
  [40, 9],
])('%i signals and %i noises are too few', (signals, noises) => {
  const { value, reason } = sensitivity({ signals, hits: 5, noises, falseAlarms: 1 });
  expect(value).toBeNull();
  expect(reason).toContain(`here are ${signals} and ${noises}`);
});
