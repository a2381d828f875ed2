/** Coverage factor of every expanded uncertainty shown: about 95 % for a normal distribution. GUM (JCGM 100) 6.3. */
export const COVERAGE_FACTOR = 2;

/** An uncertainty as a person enters it: the limits ±a of an instrument, or a standard uncertainty (k = 1). */
export interface StatedUncertainty {
  readonly value: number;
  readonly kind: 'limits' | 'standard';
}

/** u = a/√3 for limits ±a (rectangular distribution, GUM 4.3.7); a standard uncertainty is itself. Same unit. */
export const standardUncertainty = (stated: StatedUncertainty): number =>
  stated.kind === 'limits' ? stated.value / Math.sqrt(3) : stated.value;

/** A factor of a product: its standard relative uncertainty (0.01 = 1 %; null unknown) and its power (1 unless given). */
export interface UncertainFactor {
  readonly relative: number | null;
  readonly power?: number;
}

/**
 * Standard relative uncertainty of a product of powers of independent quantities, GUM (JCGM 100) 5.1.6:
 * u_c/y = √Σ (pᵢ·uᵢ/xᵢ)². Null as soon as one is unknown: an unknown part is not zero.
 */
export function combinedRelative(factors: readonly UncertainFactor[]): number | null {
  let squares = 0;
  for (const { relative, power = 1 } of factors) {
    if (relative === null) return null;
    squares += (power * relative) ** 2;
  }
  return Math.sqrt(squares);
}

/** Expanded uncertainty U = 2·u. Null stays null. */
export const expanded = (standard: number | null): number | null =>
  standard === null ? null : COVERAGE_FACTOR * standard;

/**
 * Standard uncertainty of any smooth function of independent inputs, GUM 5.1.3: √Σ (∂f/∂xᵢ·uᵢ)², the derivatives
 * taken as central differences over ± uᵢ. Null when `f` has no value at a point needed or an input's uncertainty is null.
 */
export function propagated(
  f: (inputs: readonly number[]) => number | null,
  inputs: readonly number[],
  standardUncertainties: readonly (number | null)[],
): number | null {
  let squares = 0;
  for (let i = 0; i < inputs.length; i++) {
    const u = standardUncertainties[i] ?? null;
    if (u === null) return null;
    if (u === 0) continue;
    const above = f(inputs.with(i, inputs[i]! + u));
    const below = f(inputs.with(i, inputs[i]! - u));
    if (above === null || below === null) return null;
    squares += ((above - below) / 2) ** 2;
  }
  return Math.sqrt(squares);
}
