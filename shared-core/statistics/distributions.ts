import { incompleteBeta, upperGamma } from './gamma-functions.ts';

const ROOT_TWO_PI = Math.sqrt(2 * Math.PI);

/** Density of the standard normal distribution. */
export const normalDensity = (x: number): number => Math.exp(-0.5 * x * x) / ROOT_TWO_PI;

/** Φ(x), the distribution function of the standard normal distribution, accurate in both tails. */
export function normalDistribution(x: number): number {
  const tail = 0.5 * upperGamma(0.5, 0.5 * x * x);
  return x < 0 ? tail : 1 - tail;
}

/** P(χ² ≤ x) for `degrees` of freedom. */
export const chiSquaredDistribution = (x: number, degrees: number): number =>
  x <= 0 ? 0 : 1 - upperGamma(degrees / 2, x / 2);

/** P(F ≤ x) for the F distribution with `d1` and `d2` degrees of freedom. */
export const fDistribution = (x: number, d1: number, d2: number): number =>
  x <= 0 ? 0 : incompleteBeta(d1 / 2, d2 / 2, (d1 * x) / (d1 * x + d2));

/** x with P(χ² ≤ x) = `probability`, 0 < probability < 1. */
export const chiSquaredQuantile = (probability: number, degrees: number): number =>
  quantile(x => chiSquaredDistribution(x, degrees), probability);

/** x with P(F ≤ x) = `probability`, 0 < probability < 1. */
export const fQuantile = (probability: number, d1: number, d2: number): number =>
  quantile(x => fDistribution(x, d1, d2), probability);

/** z with Φ(z) = `probability`, 0 < probability < 1; by χ² of one degree of freedom, which is z². */
export const normalQuantile = (probability: number): number =>
  probability < 0.5
    ? -Math.sqrt(chiSquaredQuantile(1 - 2 * probability, 1))
    : Math.sqrt(chiSquaredQuantile(2 * probability - 1, 1));

/** Bisection: slow, sure, and needed once per settings screen. */
function quantile(distribution: (x: number) => number, probability: number): number {
  let low = 0;
  let high = 1;
  while (distribution(high) < probability && high < 1e300) high *= 2;
  for (let i = 0; i < 200 && high - low > high * 1e-15; i++) {
    const middle = (low + high) / 2;
    if (distribution(middle) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
