import { type Answer, NOT_NEGATIVE, outOfRange, POSITIVE, value } from '../calculations/answer.ts';

/** Density of solid steel wire, kg/mm³: 7.85 g/cm³, the handbook value for plain steel. */
export const STEEL_DENSITY_KG_PER_MM3 = 7.85e-6;

/** Share of the wire fed that stays in the joint, solid wire under mixed gas: 0.92–0.99 in handbooks. */
export const DEFAULT_DEPOSITION_EFFICIENCY = 0.96;

export const EFFICIENCY = { min: 0, max: 1, above: true } as const;
export const WIRE_DIAMETER_MM = { min: 0, max: 10, above: true } as const;

/** Cross-section of round wire, mm² = π·d²/4, d in mm. */
export const wireAreaMm2 = (diameterMm: number): number => (Math.PI / 4) * diameterMm * diameterMm;

/** Mass of a length of wire, kg = length × π·d²/4 × density; mm, mm, kg/mm³. Source: geometry; density of steel. */
export const wireMassKg = (
  lengthMm: number,
  diameterMm: number,
  densityKgPerMm3: number = STEEL_DENSITY_KG_PER_MM3,
): number => lengthMm * wireAreaMm2(diameterMm) * densityKgPerMm3;

/** Length of wire in a mass, mm. Errors: out of range unless mass ≥ 0 and diameter > 0. */
export function wireLengthMm(massKg: number, diameterMm: number): Answer {
  return (
    outOfRange(['mass', massKg, 'kg', NOT_NEGATIVE], ['wire diameter', diameterMm, 'mm', WIRE_DIAMETER_MM]) ??
    value(massKg / (wireAreaMm2(diameterMm) * STEEL_DENSITY_KG_PER_MM3))
  );
}

export interface FeedInput {
  readonly wireFeedMmPerS: number;
  readonly diameterMm: number;
  /** Share of the wire that stays in the joint; 1 gives the melt-off rate. */
  readonly efficiency?: number;
  readonly densityKgPerMm3?: number;
}

/**
 * Deposition rate, kg/h = feed × π·d²/4 × density × η × 3600. Source: ESAB MIG Welding Handbook 7-10 (feed × 60 / length per
 * mass is the melt-off rate; × efficiency is the deposit). Errors: out of range unless feed ≥ 0, 0 < d ≤ 10 mm, 0 < η ≤ 1.
 */
export function depositionRateKgPerH(input: FeedInput): Answer {
  const efficiency = input.efficiency ?? DEFAULT_DEPOSITION_EFFICIENCY;
  const density = input.densityKgPerMm3 ?? STEEL_DENSITY_KG_PER_MM3;
  return (
    outOfRange(
      ['wire feed speed', input.wireFeedMmPerS, 'mm/s', NOT_NEGATIVE],
      ['wire diameter', input.diameterMm, 'mm', WIRE_DIAMETER_MM],
      ['deposition efficiency', efficiency, '1', EFFICIENCY],
      ['density', density, 'kg/mm3', POSITIVE],
    ) ?? value(input.wireFeedMmPerS * wireAreaMm2(input.diameterMm) * density * efficiency * 3600)
  );
}

/**
 * Deposition rate from what was used, kg/h = mass × η × 3600 / arc time; kg, s. Source: the same handbook page, and the weighed
 * plate (95 g in 60 s are 5.7 kg/h, CIGWELD Technical and Trade Information). Errors: out of range unless mass ≥ 0, arc time > 0.
 */
export function depositedKgPerH(input: {
  readonly wireKg: number;
  readonly arcTimeS: number;
  readonly efficiency?: number;
}): Answer {
  const efficiency = input.efficiency ?? DEFAULT_DEPOSITION_EFFICIENCY;
  return (
    outOfRange(
      ['mass of wire', input.wireKg, 'kg', NOT_NEGATIVE],
      ['arc time', input.arcTimeS, 's', POSITIVE],
      ['deposition efficiency', efficiency, '1', EFFICIENCY],
    ) ?? value((input.wireKg * efficiency * 3600) / input.arcTimeS)
  );
}
