/**
 * Temperature beside the weld, as one lump of pipe that the arc heats and the air cools:
 *
 *   C·dT/dt = η·P − (T − T_air)·C/τ        C = π·(D − t)/2·t·w·ρ·c
 *
 * C is the heat capacity of half a ring of wall t and width w = 250 mm (one side welds one half),
 * ρ = 7.85e-6 kg/mm³, c = 490 J/(kg·K) for steel, η = 0.8 (EN 1011-1, MIG/MAG), τ = 25 min.
 * Newton's law of cooling; w and τ are chosen to give interpass temperatures of the usual size and are not
 * measurements. Validity: to show a plausible preheat and interpass reading, not for metallurgy.
 */
const RING_WIDTH_MM = 250;
const STEEL_KG_PER_MM3 = 7.85e-6;
const STEEL_J_PER_KG_K = 490;
const ARC_EFFICIENCY = 0.8;
const COOLING_TIME_S = 1500;

/** Heat capacity, J/K, of the half ring one side heats. */
export function halfRingHeatCapacityJPerK(outsideDiameterMm: number, wallThicknessMm: number): number {
  const halfLengthMm = (Math.PI * (outsideDiameterMm - wallThicknessMm)) / 2;
  return halfLengthMm * wallThicknessMm * RING_WIDTH_MM * STEEL_KG_PER_MM3 * STEEL_J_PER_KG_K;
}

/** Temperature, °C, `stepS` later under arc power `powerW`. */
export function nextTemperatureCel(
  nowCel: number,
  airCel: number,
  powerW: number,
  heatCapacityJPerK: number,
  stepS: number,
): number {
  const heatingKPerS = (ARC_EFFICIENCY * powerW) / heatCapacityJPerK;
  return nowCel + (heatingKPerS - (nowCel - airCel) / COOLING_TIME_S) * stepS;
}
