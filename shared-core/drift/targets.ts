import { DRIFT_CHANNELS, type DriftBaseline } from '../messages/drift.ts';
import { CHANNEL_COUNT, FIRST_SPREAD } from './drift-values.ts';

/** What good welds have in one clock zone, by channel index; NaN: this channel is not judged. */
export interface Targets {
  readonly baseline: DriftBaseline;
  readonly mean: Float64Array;
  readonly sigma: Float64Array;
  /** Standard deviation of the level of whole passes. */
  readonly passSigma: Float64Array;
  /** Variance of the mean of many neighbouring windows, times their number. */
  readonly windowVariance: Float64Array;
}

const row = (): Float64Array => new Float64Array(CHANNEL_COUNT).fill(Number.NaN);

export function targetsOf(baseline: DriftBaseline): Targets {
  const targets: Targets = { baseline, mean: row(), sigma: row(), passSigma: row(), windowVariance: row() };
  baseline.channels.forEach((name, at) => {
    const channel = DRIFT_CHANNELS.indexOf(name);
    const sigma = baseline.standardDeviation[at]!;
    const passSigma = baseline.passDeviation[at]!;
    const r = baseline.correlation[at]!;
    targets.mean[channel] = baseline.mean[at]!;
    targets.sigma[channel] = sigma;
    targets.passSigma[channel] = passSigma;
    targets.windowVariance[channel] = (baseline.windowDeviation[at]! ** 2 * (1 + r)) / (1 - r);
  });
  return targets;
}

/**
 * Distance of a step from the target. A spread is not additive but its square is: the square root is taken along its
 * tangent at the target, so that steps add up to what their window has.
 */
export function distance(value: number, channel: number, target: number): number {
  // No target (NaN) gives no distance.
  if (channel < FIRST_SPREAD || Number.isNaN(target)) return value - target;
  return target > 0 ? (value * value - target * target) / (2 * target) : value;
}
