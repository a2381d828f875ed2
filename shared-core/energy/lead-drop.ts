import { type Answer, NOT_NEGATIVE, outOfRange, POSITIVE, value } from '../calculations/answer.ts';

/** Copper at working warmth, Ω·mm²/m (IEC 60228 gives 0.0172 at 20 °C; about 0.018 at 30 °C; rounded, from memory). */
export const COPPER_OHM_MM2_PER_M = 0.0178;

/**
 * Voltage lost in a welding lead: U = I·ρ·l/A, V from A, m, mm². A voltage tapped at the source reads high by it; the reading is
 * never corrected silently. Errors: out of range unless A > 0, the rest ≥ 0.
 */
export function leadDrop(input: {
  readonly currentA: number;
  readonly lengthM: number;
  readonly crossSectionMm2: number;
}): Answer {
  return (
    outOfRange(
      ['welding current', input.currentA, 'A', NOT_NEGATIVE],
      ['lead length', input.lengthM, 'm', NOT_NEGATIVE],
      ['lead cross-section', input.crossSectionMm2, 'mm2', POSITIVE],
    ) ?? value((input.currentA * COPPER_OHM_MM2_PER_M * input.lengthM) / input.crossSectionMm2)
  );
}
