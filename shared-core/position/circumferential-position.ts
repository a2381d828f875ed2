import type { Side } from '../messages/common.ts';
import { clockPosition, normalDegrees } from './clock-position.ts';

/** +1 clockwise looking downstream, −1 against it. Side B runs clockwise and side A against, unless a rig sets otherwise. */
export type Sense = 1 | -1;
export const DEFAULT_SENSE: Readonly<Record<Side, Sense>> = { A: -1, B: 1 };

export interface CircumferentialInput {
  /** Travelled along the outside of the pipe from this side's start, mm; negative is backwards. */
  readonly alongMm: number;
  readonly side: Side;
  /** Where the side starts, degrees clockwise from the top, looking downstream. */
  readonly startDegrees: number;
  readonly outsideDiameterMm: number;
  /** Overrides the sense of the side, where the rig's setting does. */
  readonly sense?: Sense;
}

export interface CircumferentialPosition {
  /** Clockwise from the top looking downstream, 0 ≤ ° < 360. */
  readonly degrees: number;
  /** 0 < clock ≤ 12. */
  readonly clock: number;
  /** Along the outside from 12 o'clock, clockwise looking downstream, 0 ≤ mm < circumference. */
  readonly circumferentialMm: number;
}

/**
 * θ = θ_start + σ·360·s/(π·D) with D the outside diameter; clock = θ/30; mm = θ/360·π·D.
 * Units mm, degrees, hours of the clock. Source: geometry; sense and zero are settings (common practice, no source).
 */
export function circumferentialPosition(input: CircumferentialInput): CircumferentialPosition {
  const circumferenceMm = Math.PI * input.outsideDiameterMm;
  const sense = input.sense ?? DEFAULT_SENSE[input.side];
  const degrees = normalDegrees(input.startDegrees + (sense * 360 * input.alongMm) / circumferenceMm);
  return {
    degrees,
    clock: clockPosition(degrees),
    circumferentialMm: (degrees / 360) * circumferenceMm,
  };
}

/** Travel at the weld from travel as reported at another radius: × r_weld / r_reference. Both in mm, or any one unit. */
export const travelAtWeld = (reported: number, weldRadiusMm: number, referenceRadiusMm: number): number =>
  (reported * weldRadiusMm) / referenceRadiusMm;

/**
 * Standard uncertainty (k = 1) of a position, mm: the zero's own, the travel's share of the distance run, and, in
 * full, the distance last travel would have covered in gaps no distance channel bridges.
 * Source: GUM (JCGM 100), root sum of squares for the independent parts.
 */
export function positionUncertaintyMm(input: {
  readonly zeroMm: number;
  readonly alongMm: number;
  /** Standard relative uncertainty of travel, 0.02 = 2 %. */
  readonly travelRelative: number;
  /** Last travel × gap, summed over unbridged gaps, mm. */
  readonly unobservedMm: number;
}): number {
  return Math.hypot(input.zeroMm, input.travelRelative * input.alongMm) + Math.abs(input.unobservedMm);
}
