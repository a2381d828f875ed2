import { type Answer, NOT_NEGATIVE, outOfRange, type Range, value } from '../calculations/answer.ts';
import { normalDensity, normalDistribution } from '../statistics/distributions.ts';
import { gaussLegendre } from '../statistics/gauss-legendre.ts';
import { solveInPlace } from '../statistics/linear-algebra.ts';

const INTERVAL: Range = { min: 0, max: 30, above: true };
const SHIFT: Range = { min: -10, max: 10 };

/** Run lengths from a start at the head start and at zero, for independent normal values with mean `shift`, sd 1. */
function oneSided(
  k: number,
  h: number,
  shift: number,
  start: number,
): { start: number; zero: number } | null {
  // L(z) = 1 + L(0)·Φ(k − z − δ) + ∫₀ʰ L(x)·φ(x + k − z − δ) dx: Page's integral equation, by quadrature.
  const n = Math.min(240, Math.max(48, Math.ceil(10 * h)));
  const { nodes, weights } = gaussLegendre(n, 0, h);
  const size = n + 1;
  const matrix = new Float64Array(size * size);
  const right = new Float64Array(size).fill(1);
  const at = (i: number): number => (i === n ? 0 : nodes[i]!);
  for (let i = 0; i < size; i++) {
    const z = at(i);
    for (let j = 0; j < n; j++) {
      matrix[i * size + j] = -weights[j]! * normalDensity(nodes[j]! + k - z - shift);
    }
    matrix[i * size + n] = -normalDistribution(k - z - shift);
    matrix[i * size + i] = matrix[i * size + i]! + 1;
  }
  const lengths = solveInPlace(matrix, right);
  if (lengths === null) return null;
  const zero = lengths[n]!;
  let begun = 1 + zero * normalDistribution(k - start - shift);
  for (let j = 0; j < n; j++) {
    begun += lengths[j]! * weights[j]! * normalDensity(nodes[j]! + k - start - shift);
  }
  return { start: begun, zero };
}

export interface CusumDesign {
  readonly k: number;
  readonly h: number;
  /** Mean of the values, in standard deviations from the target. */
  readonly shift: number;
  readonly headStart?: number;
}

const checks = ({ k, h, shift, headStart = 0 }: CusumDesign): ReturnType<typeof outOfRange> =>
  outOfRange(
    ['reference value k', k, '1', { min: 0, max: 10 }],
    ['decision interval h', h, '1', INTERVAL],
    ['shift', shift, '1', SHIFT],
    ['head start', headStart, '1', NOT_NEGATIVE],
    ['head start', headStart, '1', { min: 0, max: h }],
  );

/** A run so long that the quadrature can no longer tell it from for ever. */
const FOR_EVER = 1e12;
const answer = (runLength: number | null): Answer => {
  const length = runLength ?? Number.POSITIVE_INFINITY;
  return (
    outOfRange([
      'average run length',
      length > 0 ? length : Number.POSITIVE_INFINITY,
      '1',
      { min: 1, max: FOR_EVER },
    ]) ?? value(length)
  );
};

/**
 * Average run length of a one-sided CUSUM: mean number of independent normal values until a signal.
 * Source: Page, Biometrika 41 (1954), integral equation, Gauss–Legendre quadrature; checked against Vance 1986.
 * Errors: out of range unless 0 ≤ k ≤ 10, 0 < h ≤ 30, |shift| ≤ 10, 0 ≤ head start ≤ h, or when the run is beyond 10¹².
 */
export function cusumRunLengthOneSided(design: CusumDesign): Answer {
  const wrong = checks(design);
  if (wrong !== null) return wrong;
  return answer(oneSided(design.k, design.h, design.shift, design.headStart ?? 0)?.start ?? null);
}

/**
 * Average run length of the two-sided CUSUM with both sums at the head start:
 * L = (L⁺(s)·L⁻(0) + L⁻(s)·L⁺(0) − L⁺(0)·L⁻(0))/(L⁺(0) + L⁻(0)); from zero, 1/L = 1/L⁺ + 1/L⁻.
 * Source: Lucas & Crosier, Technometrics 24 (1982). Errors: as for one side.
 */
export function cusumRunLength(design: CusumDesign): Answer {
  const wrong = checks(design);
  if (wrong !== null) return wrong;
  const start = design.headStart ?? 0;
  const up = oneSided(design.k, design.h, design.shift, start);
  const down = oneSided(design.k, design.h, -design.shift, start);
  if (up === null || down === null) return answer(null);
  // A side that never signals (far from the shift) overflows the equation; the other side is then the whole.
  const never = (side: { zero: number }): boolean => !(side.zero > 0 && side.zero < FOR_EVER);
  if (never(up) && never(down)) return answer(null);
  if (never(down)) return answer(up.start);
  if (never(up)) return answer(down.start);
  return answer((up.start * down.zero + down.start * up.zero - up.zero * down.zero) / (up.zero + down.zero));
}
