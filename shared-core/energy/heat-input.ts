import { type Answer, NOT_NEGATIVE, outOfRange, value } from '../calculations/answer.ts';

/**
 * Thermal efficiency k by ISO 4063 process number. Source: EN 1011-1 / ISO/TR 17671-1 Table 1, as tabulated in the public
 * guidance "What is the difference between heat input and arc energy?" (TWI).
 * Not the 0.85 of EN 1011-2 Annex D, which belongs to cooling time alone (thermal/cooling-time.ts).
 */
export const THERMAL_EFFICIENCY: ReadonlyMap<string, number> = new Map([
  ['121', 1.0],
  ['111', 0.8],
  ['131', 0.8],
  ['135', 0.8],
  ['136', 0.8],
  ['138', 0.8],
  ['141', 0.6],
  ['15', 0.6],
]);

/** The k of MIG/MAG (131, 135, 138) where a procedure states none. */
export const DEFAULT_THERMAL_EFFICIENCY = 0.8;

const EFFICIENCY_RANGE = { min: 0, max: 1, above: true } as const;

/**
 * Heat input = k × arc energy, kJ/mm. Source: EN 1011-1 clause 18. Errors: out of range unless 0 < k ≤ 1 and arc energy ≥ 0.
 * American codes call the arc energy (k = 1) heat input.
 */
export function heatInput(
  arcEnergyKjPerMm: number,
  thermalEfficiency: number = DEFAULT_THERMAL_EFFICIENCY,
): Answer {
  return (
    outOfRange(
      ['arc energy', arcEnergyKjPerMm, 'kJ/mm', NOT_NEGATIVE],
      ['thermal efficiency', thermalEfficiency, '1', EFFICIENCY_RANGE],
    ) ?? value(thermalEfficiency * arcEnergyKjPerMm)
  );
}
