/**
 * The followed channels of a stretch of weld, from its sums: in the order of DRIFT_CHANNELS, NaN where a channel
 * was not known throughout. Units A, V, mm/s, mm/s (travel at the weld), L/min, A, V.
 */
import { SUM, type Sums } from '../arc/sums.ts';
import { type CallQuantity, DRIFT_CHANNELS, PATTERN_CHANNELS } from '../messages/drift.ts';
import { KNOWN_ENOUGH } from '../pass/quantities.ts';

export const CHANNEL_COUNT = DRIFT_CHANNELS.length;
/** Index of the first spread: the means come before. */
export const FIRST_SPREAD = PATTERN_CHANNELS.length;

export const QUANTITY_UNITS: Readonly<Record<CallQuantity, string>> = {
  weldingCurrent: 'A',
  arcVoltage: 'V',
  wireFeedSpeed: 'mm/s',
  travelSpeed: 'mm/s',
  gasFlow: 'L/min',
  currentSpread: 'A',
  voltageSpread: 'V',
  oscillationWidth: 'mm',
  oscillationFrequency: 'Hz',
};

/** Means and, as the last two, variances (A², V²) within the stretch. */
export function driftValues(sums: Sums, travelRatio: number): Float64Array {
  const values = new Float64Array(CHANNEL_COUNT).fill(Number.NaN);
  const observedS = sums[SUM.observedS]!;
  if (!(observedS > 0)) return values;
  const current = sums[SUM.currentAs]! / observedS;
  const voltage = sums[SUM.voltageVs]! / observedS;
  values[0] = current;
  values[1] = voltage;
  values[2] = known(sums[SUM.wireMm]!, sums[SUM.wireKnownS]!, observedS);
  values[3] = known(sums[SUM.travelMm]!, sums[SUM.travelKnownS]!, observedS) * travelRatio;
  values[4] = known(sums[SUM.gasL]!, sums[SUM.gasKnownS]!, observedS) * 60;
  values[5] = Math.max(0, sums[SUM.currentSquaredA2s]! / observedS - current * current);
  values[6] = Math.max(0, sums[SUM.voltageSquaredV2s]! / observedS - voltage * voltage);
  return values;
}

function known(total: number, knownS: number, observedS: number): number {
  return knownS >= observedS * KNOWN_ENOUGH ? total / knownS : Number.NaN;
}
