/**
 * Shielding gas at the meter: opens and closes as a first-order lag of 0.15 s (hose volume; common
 * practice, no source).
 */
const GAS_TIME_CONSTANT_S = 0.15;

export function laggedGasLPerMin(nowLPerMin: number, targetLPerMin: number, stepS: number): number {
  return nowLPerMin + ((targetLPerMin - nowLPerMin) * stepS) / GAS_TIME_CONSTANT_S;
}
