import { type Answer, NOT_NEGATIVE, outOfRange, POSITIVE, value } from '../calculations/answer.ts';

export interface Closure {
  /** (s_A + s_B − overlaps − πD)/(πD), as a share: negative, the sides did not meet. */
  readonly error: number;
  /** The same in mm along the outside. */
  readonly errorMm: number;
  /** Expanded uncertainty (k = 2) of `error`: √((2·u_travel)² + (20 mm/πD)²). */
  readonly uncertainty: number;
  /** look: |ε| > max(1 %, U); suspect: |ε| > max(3 %, 1.5·U), an encoder, slip or radius may be wrong. */
  readonly finding: 'closed' | 'look' | 'suspect';
}

/** Where zero and end of two sides are set on the pipe, expanded, mm: band, scribe and carriage zeros differ. Common practice, no source. */
export const CLOSURE_ZERO_MM = 20;

/**
 * Closure of one pass from both sides' run-out lengths at the weld, mm. `overlapsMm` is the sum the WPS asks at 12 and 6 o'clock.
 * `travelRelative` is the standard (k = 1) relative uncertainty of travel. Source: geometry and GUM; thresholds common practice, no
 * source. Errors: out of range unless the diameter is positive and lengths are not negative.
 */
export function closure(input: {
  readonly sideAMm: number;
  readonly sideBMm: number;
  readonly overlapsMm: number;
  readonly outsideDiameterMm: number;
  readonly travelRelative: number;
}): Answer<Closure> {
  const wrong = outOfRange(
    ['run-out length of side A', input.sideAMm, 'mm', NOT_NEGATIVE],
    ['run-out length of side B', input.sideBMm, 'mm', NOT_NEGATIVE],
    ['overlap', input.overlapsMm, 'mm', NOT_NEGATIVE],
    ['outside diameter', input.outsideDiameterMm, 'mm', POSITIVE],
    ['travel uncertainty', input.travelRelative, '1', { min: 0, max: 1 }],
  );
  if (wrong !== null) return wrong;
  const circumferenceMm = Math.PI * input.outsideDiameterMm;
  const errorMm = input.sideAMm + input.sideBMm - input.overlapsMm - circumferenceMm;
  const error = errorMm / circumferenceMm;
  const uncertainty = Math.hypot(2 * input.travelRelative, CLOSURE_ZERO_MM / circumferenceMm);
  const size = Math.abs(error);
  let finding: Closure['finding'] = 'closed';
  if (size > Math.max(0.03, 1.5 * uncertainty)) finding = 'suspect';
  else if (size > Math.max(0.01, uncertainty)) finding = 'look';
  return value({ error, errorMm, uncertainty, finding });
}
