/**
 * The carriage on its band, and what its encoder reports.
 *
 *   v_weld = v_motor·(1 − slip)·r_weld/r_band       reported at the reference radius: v_motor·r_ref/r_band
 *
 * Motor speed is kept at the band; r_weld is the pipe's outside radius. A band 20 mm off the surface
 * over-reads by 20/r_weld: 6.6 % at 610 mm OD. Slip is invisible to an encoder on the motor.
 * Speed follows its set-point with a limited acceleration. Source: geometry.
 */
export interface CarriageGeometry {
  readonly weldRadiusMm: number;
  readonly bandRadiusMm: number;
  /** Radius the encoder is scaled for; equal to the band's where the rig is set up right. */
  readonly referenceRadiusMm: number;
}

/** A carriage is at speed within a tenth of a second (common practice, no source). */
export const CARRIAGE_ACCELERATION_MM_S2 = 200;

/** True speed at the weld, mm/s, from the speed at the band. */
export function weldSpeedMmS(geometry: CarriageGeometry, bandMmS: number, slip: number): number {
  return (bandMmS * (1 - slip) * geometry.weldRadiusMm) / geometry.bandRadiusMm;
}

/** What the encoder reports, mm/s at the reference radius. */
export function reportedSpeedMmS(geometry: CarriageGeometry, bandMmS: number): number {
  return (bandMmS * geometry.referenceRadiusMm) / geometry.bandRadiusMm;
}

/** Speed after `stepS` on the way from `nowMmS` to `targetMmS`. */
export function rampedSpeedMmS(nowMmS: number, targetMmS: number, stepS: number): number {
  const most = CARRIAGE_ACCELERATION_MM_S2 * stepS;
  return nowMmS + Math.min(most, Math.max(-most, targetMmS - nowMmS));
}
