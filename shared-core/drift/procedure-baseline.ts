import { DRIFT_CHANNELS, type DriftBaseline, type DriftChannel } from '../messages/drift.ts';
import type { ResolvedLimit } from '../procedure/limits.ts';
import { limitFor, type Zone } from './drift-zones.ts';

/** The tolerance half-width is taken as three standard deviations (our own choice). */
const DEVIATIONS_IN_HALF_WIDTH = 3;

export interface Range {
  readonly middle: number;
  readonly halfWidth: number;
}

/** Nominal and half-width of a limit; null where it does not give both. Same unit as the limit. */
export function rangeOf(limit: Pick<ResolvedLimit, 'min' | 'nominal' | 'max'> | null): Range | null {
  if (!limit) return null;
  const { min, nominal, max } = limit;
  if (min !== null && max !== null) {
    return max > min ? { middle: nominal ?? (min + max) / 2, halfWidth: (max - min) / 2 } : null;
  }
  const end = min ?? max;
  return end === null || nominal === null || nominal === end
    ? null
    : { middle: nominal, halfWidth: Math.abs(end - nominal) };
}

/** What holds until this rig has taught more: nominal and tolerance of the procedure, without a covariance. */
export function procedureBaseline(limits: readonly ResolvedLimit[], clockZone: Zone): DriftBaseline {
  const channels: DriftChannel[] = [];
  const mean: number[] = [];
  const standardDeviation: number[] = [];
  for (const channel of DRIFT_CHANNELS) {
    const range = rangeOf(limitFor(limits, channel, clockZone));
    if (!range) continue;
    channels.push(channel);
    mean.push(range.middle);
    standardDeviation.push(range.halfWidth / DEVIATIONS_IN_HALF_WIDTH);
  }
  // A rig may run anywhere inside its range: nothing is known of how its passes differ.
  const windowDeviation = standardDeviation;
  const passDeviation = standardDeviation;
  const correlation = channels.map(() => 0);
  const shared = {
    passes: 0,
    windows: 0,
    clockZone: clockZone && { from: clockZone.from, to: clockZone.to },
  };
  return {
    source: 'procedure',
    ...shared,
    channels,
    mean,
    standardDeviation,
    windowDeviation,
    passDeviation,
    correlation,
    covariance: null,
  };
}
