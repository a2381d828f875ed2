import { DRIFT_CHANNELS, type DriftBaseline } from '../messages/drift.ts';
import { CHANNEL_COUNT, FIRST_SPREAD } from './drift-values.ts';

/** What good welds have in one clock zone, by channel index; NaN: this channel is not judged. */
export interface Targets {
  readonly baseline: DriftBaseline;
  readonly mean: Float64Array;
  readonly sigma: Float64Array;
}

export function targetsOf(baseline: DriftBaseline): Targets {
  const mean = new Float64Array(CHANNEL_COUNT).fill(Number.NaN);
  const sigma = new Float64Array(CHANNEL_COUNT).fill(Number.NaN);
  baseline.channels.forEach((name, at) => {
    const channel = DRIFT_CHANNELS.indexOf(name);
    mean[channel] = baseline.mean[at]!;
    sigma[channel] = baseline.standardDeviation[at]!;
  });
  return { baseline, mean, sigma };
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
