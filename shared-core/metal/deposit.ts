import { type Answer, NOT_NEGATIVE, outOfRange, POSITIVE, value } from '../calculations/answer.ts';
import { DEFAULT_DEPOSITION_EFFICIENCY, EFFICIENCY, WIRE_DIAMETER_MM, wireAreaMm2 } from './wire.ts';

/**
 * Cross-section of the metal laid down, mm² = feed·(π·d²/4)·η/v; mm/s, mm, mm/s. Source: volume balance of wire and weld.
 * Also the area of ASME IX QW-409.1(b). Errors: out of range unless v > 0, feed ≥ 0, 0 < d ≤ 10 mm, 0 < η ≤ 1.
 */
export function depositAreaMm2(input: {
  readonly wireFeedMmPerS: number;
  readonly travelMmPerS: number;
  readonly diameterMm: number;
  readonly efficiency?: number;
}): Answer {
  const efficiency = input.efficiency ?? DEFAULT_DEPOSITION_EFFICIENCY;
  return (
    outOfRange(
      ['wire feed speed', input.wireFeedMmPerS, 'mm/s', NOT_NEGATIVE],
      ['travel speed', input.travelMmPerS, 'mm/s', POSITIVE],
      ['wire diameter', input.diameterMm, 'mm', WIRE_DIAMETER_MM],
      ['deposition efficiency', efficiency, '1', EFFICIENCY],
    ) ?? value((input.wireFeedMmPerS * wireAreaMm2(input.diameterMm) * efficiency) / input.travelMmPerS)
  );
}

/** Height of a layer of `areaMm2` in a groove `widthMm` wide there, mm. Errors: out of range unless the width is positive. */
export function layerHeightMm(areaMm2: number, widthMm: number): Answer {
  return (
    outOfRange(['deposit area', areaMm2, 'mm2', NOT_NEGATIVE], ['groove width', widthMm, 'mm', POSITIVE]) ??
    value(areaMm2 / widthMm)
  );
}

/** Area of a right-angled fillet with equal legs, mm² = leg²/2. Source: geometry. */
export const filletAreaMm2 = (legMm: number): number => (legMm * legMm) / 2;

/**
 * Mean rate at which a weighed sample was laid down, kg/h from kg and s. Source: CIGWELD Technical and Trade Information,
 * Deposition data (weighed-plate method). Errors: out of range unless time > 0.
 */
export function weighedDepositionRate(massKg: number, timeS: number): Answer {
  return (
    outOfRange(['mass', massKg, 'kg', NOT_NEGATIVE], ['time', timeS, 's', POSITIVE]) ??
    value((massKg / timeS) * 3600)
  );
}
