import { type Answer, NOT_NEGATIVE, outOfRange, POSITIVE, value } from '../calculations/answer.ts';

/**
 * Operating factor = arc time / elapsed time, as a share of 1. Source: the trade's definition (common practice, no source).
 * Errors: out of range unless elapsed > 0 and 0 ≤ arc time ≤ elapsed.
 */
export function operatingFactor(arcTimeS: number, elapsedS: number): Answer {
  return (
    outOfRange(
      ['elapsed time', elapsedS, 's', POSITIVE],
      ['arc time', arcTimeS, 's', NOT_NEGATIVE],
      ['arc time', arcTimeS, 's', { min: 0, max: elapsedS }],
    ) ?? value(arcTimeS / elapsedS)
  );
}

/** Time to weld `lengthMm` at `travelMmPerS`, s. Errors: out of range unless travel > 0. */
export function arcTimeFor(lengthMm: number, travelMmPerS: number): Answer {
  return (
    outOfRange(['length', lengthMm, 'mm', NOT_NEGATIVE], ['travel speed', travelMmPerS, 'mm/s', POSITIVE]) ??
    value(lengthMm / travelMmPerS)
  );
}
