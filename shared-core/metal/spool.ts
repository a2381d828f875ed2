import { type Answer, NOT_NEGATIVE, outOfRange, value } from '../calculations/answer.ts';
import { WIRE_DIAMETER_MM, wireMassKg } from './wire.ts';

export interface SpoolState {
  readonly leftKg: number;
  /** Arc time until it is empty at this feed, s; null when the feed is 0. */
  readonly arcTimeLeftS: number | null;
  /** Whole joints left; null when a joint's wire is not known. */
  readonly jointsLeft: number | null;
}

/**
 * Wire left on a spool: left = start − ∫feed·dt × π·d²/4 × 7.85e-6; arc time left = left / (feed × mass per mm); joints left = left /
 * wire a joint, rounded down. Units kg, mm, mm/s, s. Source: wire geometry. Errors: out of range for negative inputs; a spool used
 * beyond its mass has 0 left.
 */
export function spoolState(input: {
  readonly startKg: number;
  readonly usedMm: number;
  readonly diameterMm: number;
  readonly wireFeedMmPerS: number;
  /** Wire one joint takes from this spool, kg. */
  readonly perJointKg: number | null;
}): Answer<SpoolState> {
  const perJoint = input.perJointKg ?? 0;
  const wrong = outOfRange(
    ['wire on the spool', input.startKg, 'kg', { min: 0, max: 1000 }],
    ['wire used', input.usedMm, 'mm', NOT_NEGATIVE],
    ['wire diameter', input.diameterMm, 'mm', WIRE_DIAMETER_MM],
    ['wire feed speed', input.wireFeedMmPerS, 'mm/s', NOT_NEGATIVE],
    ['wire a joint', perJoint, 'kg', NOT_NEGATIVE],
  );
  if (wrong !== null) return wrong;
  const leftKg = Math.max(0, input.startKg - wireMassKg(input.usedMm, input.diameterMm));
  const rateKgPerS = wireMassKg(input.wireFeedMmPerS, input.diameterMm);
  return value({
    leftKg,
    arcTimeLeftS: rateKgPerS === 0 ? null : leftKg / rateKgPerS,
    jointsLeft: perJoint === 0 ? null : Math.floor(leftKg / perJoint),
  });
}
