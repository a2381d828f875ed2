/**
 * A constant-voltage source and its leads.
 *
 *   U_terminal = U_set − k·I          U_tip = U_terminal − R_lead·I          L·dI/dt = U_tip − U_arc
 *
 * k, the slope of the output characteristic, is 1–5 V per 100 A on constant-voltage sources (common
 * practice, no source); 2 V per 100 A here. L stands for the inductance of output and leads.
 * With no current the terminals carry the open-circuit voltage.
 */
export interface PowerSource {
  readonly slopeVPerA: number;
  readonly inductanceH: number;
  readonly openCircuitV: number;
}

export const CONSTANT_VOLTAGE_SOURCE: PowerSource = {
  slopeVPerA: 0.02,
  inductanceH: 0.0003,
  openCircuitV: 58,
};

/**
 * Resistance, Ω, of a copper lead: R = ρ·l/A, ρ = 1/58 Ω·mm²/m at 20 °C, rising by 0.00393 per K
 * (IEC 60028, annealed copper).
 */
export function leadResistanceOhm(lengthM: number, areaMm2: number, temperatureCel: number): number {
  return ((1 / 58) * (1 + 0.00393 * (temperatureCel - 20)) * lengthM) / areaMm2;
}

/** What the source must be set to, V, so that `tipV` stands between tip and work at `currentA`. */
export function sourceSettingV(source: PowerSource, tipV: number, currentA: number, leadOhm: number): number {
  return tipV + (source.slopeVPerA + leadOhm) * currentA;
}
