/**
 * Voltage between contact tip and work.
 *
 *   U = U0 + E·l + Ra·I  +  R_ext·I,     R_ext = ρ·e / (π·d²/4)
 *
 * l is the arc length, e the electrode extension. A straight-line arc characteristic (Ayrton form, current
 * term kept as a small positive slope): U0 = 14 V, the intercept of the conventional load line for metal
 * arc welding with solid wire, U2 = 14 + 0.05·I2 (IEC 60974-1, from memory); E = 1.0 V/mm and
 * Ra = 0.015 V/A are of the order of the textbooks for argon–CO2 mixtures, from memory.
 * ρ = 0.70 Ω·mm²/m is the mean resistivity of steel between the tip and the melting end (0.15–0.2 cold,
 * about 1.2 near melting), from memory.
 * Validity: arc length 0.5–10 mm, 100–350 A. Below that the wire is in the pool: see electrode.ts.
 */
export const ARC_FALL_V = 14;
export const ARC_FIELD_V_PER_MM = 1;
export const ARC_SLOPE_V_PER_A = 0.015;
const HOT_STEEL_OHM_MM2_PER_M = 0.7;

/** Resistance, Ω, of an extension of `lengthMm` of steel wire. */
export function extensionResistanceOhm(wireDiameterMm: number, lengthMm: number): number {
  const areaMm2 = (Math.PI * wireDiameterMm * wireDiameterMm) / 4;
  return (HOT_STEEL_OHM_MM2_PER_M * (lengthMm / 1000)) / areaMm2;
}

/** Voltage of the arc alone, V. */
export function arcColumnV(currentA: number, arcLengthMm: number): number {
  return ARC_FALL_V + ARC_FIELD_V_PER_MM * arcLengthMm + ARC_SLOPE_V_PER_A * currentA;
}
