import { type Answer, NOT_NEGATIVE, outOfRange, POSITIVE, value } from '../calculations/answer.ts';
import { WIRE_DIAMETER_MM } from './wire.ts';

/**
 * Burn-off of solid steel wire: feed = α·I + β·L·I², mm/s from A and mm; L is taken as the contact-tip-to-work distance.
 * Source: Lesnewich, Welding Journal 1958 (form); the 1.2 mm coefficients are typical of the pulsed-MIG literature, from memory, order of
 * magnitude only; other diameters by geometry, α × (1.2/d)², β × (1.2/d)⁴. Diagnosis uses it relatively, never as a truth.
 */
export interface BurnOff {
  /** mm/(A·s) */
  readonly alpha: number;
  /** 1/(A²·s) */
  readonly beta: number;
}

export function burnOffOf(wireDiameterMm: number): BurnOff {
  const ratio = 1.2 / wireDiameterMm;
  return { alpha: 0.3 * ratio ** 2, beta: 5e-5 * ratio ** 4 };
}

/** Wire feed that a current melts, mm/s. */
export const burnOffFeed = ({ alpha, beta }: BurnOff, currentA: number, stickOutMm: number): number =>
  alpha * currentA + beta * stickOutMm * currentA * currentA;

/** Current that melts a feed, A: the positive root of the burn-off line. 0 for no feed. */
export function burnOffCurrent({ alpha, beta }: BurnOff, feedMmPerS: number, stickOutMm: number): number {
  // Written so that nothing cancels for a small β·L.
  return (2 * feedMmPerS) / (alpha + Math.sqrt(alpha * alpha + 4 * beta * stickOutMm * feedMmPerS));
}

/** dI/dL at constant feed = −β·I²/(α + 2·β·L·I), A/mm: longer stick-out, less current. */
export const currentPerStickOut = ({ alpha, beta }: BurnOff, currentA: number, stickOutMm: number): number =>
  (-beta * currentA * currentA) / (alpha + 2 * beta * stickOutMm * currentA);

export interface StickOutIndex {
  /** Measured current against the burn-off line at the stated distance, as a share: −0.08 is 8 % low. */
  readonly currentResidual: number;
  /** Distance that would explain the current, mm; null when no length at all would (too much current). */
  readonly impliedMm: number | null;
}

/**
 * How far the current lies off the burn-off line at this feed, and the tip distance that would explain it: L = (feed − α·I)/(β·I²).
 * Only changes against good welds of the same rig mean anything. Errors: out of range unless feed, current, distance, diameter > 0.
 */
export function stickOutIndex(input: {
  readonly wireFeedMmPerS: number;
  readonly currentA: number;
  readonly contactTipToWorkMm: number;
  readonly wireDiameterMm: number;
  /** A rig's own line, learned on good joints; else that of the diameter. */
  readonly burnOff?: BurnOff;
}): Answer<StickOutIndex> {
  const { wireFeedMmPerS, currentA, contactTipToWorkMm } = input;
  const wrong = outOfRange(
    ['wire feed speed', wireFeedMmPerS, 'mm/s', POSITIVE],
    ['welding current', currentA, 'A', POSITIVE],
    ['contact tip to work distance', contactTipToWorkMm, 'mm', NOT_NEGATIVE],
    ['wire diameter', input.wireDiameterMm, 'mm', WIRE_DIAMETER_MM],
  );
  if (wrong !== null) return wrong;
  const line = input.burnOff ?? burnOffOf(input.wireDiameterMm);
  const expected = burnOffCurrent(line, wireFeedMmPerS, contactTipToWorkMm);
  const implied = (wireFeedMmPerS - line.alpha * currentA) / (line.beta * currentA * currentA);
  return value({
    currentResidual: currentA / expected - 1,
    impliedMm: implied >= 0 ? implied : null,
  });
}
