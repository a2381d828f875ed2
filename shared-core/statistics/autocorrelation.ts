import { mean } from './running-statistics.ts';

/**
 * Lag-1 autocorrelation r₁ = Σ (xᵢ − x̄)(xᵢ₊₁ − x̄) / Σ (xᵢ − x̄)², no unit.
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods 1.3.3.1. Null for fewer than two values or no spread.
 */
export function lagOneAutocorrelation(values: ArrayLike<number>): number | null {
  const centre = mean(values);
  if (centre === null || values.length < 2) return null;
  let products = 0;
  let squares = 0;
  let previous = values[0]! - centre;
  squares += previous * previous;
  for (let i = 1; i < values.length; i++) {
    const current = values[i]! - centre;
    products += previous * current;
    squares += current * current;
    previous = current;
  }
  return squares === 0 ? null : products / squares;
}
