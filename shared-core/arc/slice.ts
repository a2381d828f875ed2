import { type Sums, zeroSums } from './sums.ts';

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
 * computes with. At most 50 ms long, cut at fixed record times, so that sums do not depend on how the
 * samples arrived.
 */
export interface Slice {
  phase: ArcPhase;
  motion: Motion;
  fromUs: number;
  toUs: number;
  readonly sums: Sums;
}

export function emptySlice(): Slice {
  return { phase: 'idle', motion: 'unknown', fromUs: 0, toUs: 0, sums: zeroSums() };
}

export function copySlice(slice: Slice): Slice {
  return { ...slice, sums: slice.sums.slice() };
}
