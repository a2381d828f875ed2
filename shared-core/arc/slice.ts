import { SUM_FIELDS, type SumField } from './sums.ts';

/** Where in the life of an arc a slice lies. */
export type ArcPhase =
  /** No arc. */
  | 'idle'
  /** Perhaps the start of an arc: real only once the start dwell is over. */
  | 'trial'
  | 'burning'
  /** Current below the stop threshold, perhaps the end of the arc: real only once the stop dwell is over. */
  | 'dropOut';

/** Whether the carriage moves; `unknown` where travel is. */
export type Motion = 'standing' | 'moving' | 'unknown';

/**
 * Sums over a short run of samples in one phase and motion: what everything behind the arc detector
 * computes with (fields: sums.ts). At most 50 ms long, cut at fixed record times, so that sums do not depend on how the
 * samples arrived.
 */
export class Slice implements Record<SumField, number> {
  phase: ArcPhase = 'idle';
  motion: Motion = 'unknown';
  fromUs = 0;
  toUs = 0;
  observedS = 0;
  missingS = 0;
  currentAs = 0;
  voltageVs = 0;
  productJ = 0;
  powerJ = 0;
  powerKnownS = 0;
  wireMm = 0;
  wireKnownS = 0;
  /** At the reference radius. */
  travelMm = 0;
  travelKnownS = 0;
  gasL = 0;
  gasKnownS = 0;
  oscillationWidthMmS = 0;
  oscillationWidthKnownS = 0;
  oscillationCycles = 0;
  oscillationKnownS = 0;

  clear(): void {
    for (const field of SUM_FIELDS) this[field] = 0;
  }
}
