import { chiSquaredQuantile } from './distributions.ts';

/**
 * Exact two-sided interval of the mean of a Poisson count: χ²(α/2; 2n)/2 to χ²(1 − α/2; 2n + 2)/2.
 * Source: Garwood, Biometrika 28 (1936). `count` a whole number from 0; `confidence` between 0 and 1.
 */
export function poissonInterval(count: number, confidence: number): [number, number] {
  const tail = (1 - confidence) / 2;
  const lower = count === 0 ? 0 : chiSquaredQuantile(tail, 2 * count) / 2;
  return [lower, chiSquaredQuantile(1 - tail, 2 * count + 2) / 2];
}
