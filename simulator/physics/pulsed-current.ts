import type { TwoLevelCycle } from './two-level-cycle.ts';

/**
 * Pulsed current: pulses of fixed height and length over a background; the frequency follows the mean
 * current that the wire feed asks for.
 *
 *   D = (Ī − Ib)/(Ip − Ib)     f = D/tp     u = Ū + r·(i − Ī)
 *
 * r is the dynamic resistance of arc and extension within a pulse. Defaults after the closed-form example
 * of docs/simulator.md (400/100 A, 34/22 V, 2.5 ms: r = 0.04 V/A); pulse parameters of this order are
 * common practice for 1.0–1.2 mm steel wire. Validity: Ib < Ī < Ip, else the nearest end is used.
 */
export interface PulseShape {
  readonly peakA: number;
  readonly backgroundA: number;
  readonly peakS: number;
  readonly dynamicOhm: number;
}

export const PULSE_SHAPE: PulseShape = { peakA: 400, backgroundA: 80, peakS: 0.0025, dynamicOhm: 0.04 };

/** The cycle whose mean current and mean voltage are `meanA` and `meanV`. */
export function pulsedCycle(shape: PulseShape, meanA: number, meanV: number): TwoLevelCycle {
  const range = shape.peakA - shape.backgroundA;
  const share = Math.min(0.98, Math.max(0.02, (meanA - shape.backgroundA) / range));
  // At the ends of the range the levels shift so that the mean stays what it is.
  const shift = meanA - (share * shape.peakA + (1 - share) * shape.backgroundA);
  const highA = shape.peakA + shift;
  const lowA = Math.max(0, shape.backgroundA + shift);
  return {
    highS: shape.peakS,
    lowS: (shape.peakS * (1 - share)) / share,
    highA,
    lowA,
    highV: meanV + shape.dynamicOhm * (highA - meanA),
    lowV: meanV + shape.dynamicOhm * (lowA - meanA),
  };
}
