import { mean } from '../statistics/running-statistics.ts';

/** Expected range of two values of a normal distribution, in standard deviations: 2/√π, printed 1.128. */
const D2 = 1.128;

export interface IndividualsLimits {
  readonly centre: number;
  readonly meanMovingRange: number;
  /** Standard deviation estimated from the moving range: it does not grow with a slow drift of the mean. */
  readonly sigma: number;
  readonly upper: number;
  readonly lower: number;
}

/**
 * Limits for single values: x̄ ± 3·MR̄/1.128, MR̄ the mean of |xᵢ − xᵢ₋₁|. Source: NIST/SEMATECH e-Handbook 6.3.2.2.
 * Null for fewer than two values.
 */
export function individualsLimits(values: ArrayLike<number>): IndividualsLimits | null {
  const centre = mean(values);
  if (centre === null || values.length < 2) return null;
  let sum = 0;
  for (let i = 1; i < values.length; i++) sum += Math.abs(values[i]! - values[i - 1]!);
  const meanMovingRange = sum / (values.length - 1);
  const sigma = meanMovingRange / D2;
  return { centre, meanMovingRange, sigma, upper: centre + 3 * sigma, lower: centre - 3 * sigma };
}
