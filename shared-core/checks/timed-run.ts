import { type Answer, NOT_NEGATIVE, outOfRange, type Range, value } from '../calculations/answer.ts';
import { COVERAGE_FACTOR, type StatedUncertainty, standardUncertainty } from '../statistics/uncertainty.ts';

/**
 * A timed, measured run: the carriage travels, or the wire feeds, for a stopped time and the length is measured with a tape.
 * speed = distance / time; per minute = distance × 60/t (15 s × 4, 6 s × 10: common practice, no source).
 * Uncertainty: u/v = √((u_tape/L)² + (u_time/t)²), U = 2u. Source: GUM (JCGM 100) 5.1.6.
 */
export interface TimedRun {
  readonly distanceMm: number;
  readonly timeS: number;
  readonly tapeMm: StatedUncertainty;
  readonly stopwatchS: StatedUncertainty;
}

export interface MeasuredSpeed {
  readonly speedMmPerS: number;
  /** What the distance is multiplied by to give the length of one minute. */
  readonly multiplierPerMinute: number;
  /** Expanded (k = 2), as a share of the speed. */
  readonly expandedRelative: number;
}

/** A run long enough to time by hand and short enough to be one. */
export const RUN_TIME_S: Range = { min: 1, max: 3600 };
const DISTANCE_MM: Range = { min: 0, max: 1_000_000, above: true };

/** Speed of a timed run with its uncertainty. Errors: out of range unless 1 ≤ t ≤ 3600 s and the distance is positive. */
export function measuredSpeed(run: TimedRun): Answer<MeasuredSpeed> {
  return (
    outOfRange(
      ['distance', run.distanceMm, 'mm', DISTANCE_MM],
      ['run time', run.timeS, 's', RUN_TIME_S],
      ['tape uncertainty', run.tapeMm.value, 'mm', NOT_NEGATIVE],
      ['stopwatch uncertainty', run.stopwatchS.value, 's', NOT_NEGATIVE],
    ) ??
    value({
      speedMmPerS: run.distanceMm / run.timeS,
      multiplierPerMinute: 60 / run.timeS,
      expandedRelative:
        COVERAGE_FACTOR *
        Math.hypot(
          standardUncertainty(run.tapeMm) / run.distanceMm,
          standardUncertainty(run.stopwatchS) / run.timeS,
        ),
    })
  );
}

/**
 * Run time at which the expanded uncertainty is `targetRelative` of the speed, s: t = 2·√((u_tape/v)² + u_time²)/target.
 * Both parts fall as 1/t at a constant speed.
 */
export const runTimeFor = (
  targetRelative: number,
  speedMmPerS: number,
  tapeMm: StatedUncertainty,
  stopwatchS: StatedUncertainty,
): number =>
  (COVERAGE_FACTOR * Math.hypot(standardUncertainty(tapeMm) / speedMmPerS, standardUncertainty(stopwatchS))) /
  targetRelative;

/**
 * Speed at the reference radius of the rig's reading, from where the tape lay: on the band it is the band's own; on the pipe it is
 * × r_reference / (OD/2). Lengths in one unit. Source: geometry.
 */
export function atReferenceRadius(
  speed: number,
  tapeOn: 'pipe' | 'band',
  radii: {
    readonly outsideDiameterMm: number;
    readonly bandRadiusMm: number;
    readonly referenceRadiusMm: number;
  },
): number {
  const at = tapeOn === 'pipe' ? radii.outsideDiameterMm / 2 : radii.bandRadiusMm;
  return (speed * radii.referenceRadiusMm) / at;
}
