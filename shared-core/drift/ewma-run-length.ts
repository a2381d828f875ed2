import { type Answer, outOfRange, value } from '../calculations/answer.ts';
import { normalDensity } from '../statistics/distributions.ts';
import { gaussLegendre } from '../statistics/gauss-legendre.ts';
import { solveInPlace } from '../statistics/linear-algebra.ts';

/**
 * Average run length of a two-sided EWMA with settled (fixed) limits, started at the target: mean number of independent normal values
 * until a signal. L(u) = 1 + (1/λ)·∫ L(x)·φ((x − (1 − λ)·u)/λ − δ) dx over the limits.
 * Source: Crowder, Technometrics 29 (1987), integral equation, Gauss–Legendre quadrature; checked against Lucas & Saccucci 1990.
 * Errors: out of range unless 0.01 ≤ λ ≤ 1, 0 < L ≤ 6, |shift| ≤ 10.
 */
export function ewmaRunLength(design: {
  readonly lambda: number;
  readonly width: number;
  readonly shift: number;
}): Answer {
  const { lambda, width, shift } = design;
  const wrong = outOfRange(
    ['weight λ', lambda, '1', { min: 0.01, max: 1 }],
    ['width L', width, '1', { min: 0, max: 6, above: true }],
    ['shift', shift, '1', { min: -10, max: 10 }],
  );
  if (wrong !== null) return wrong;
  const limit = width * Math.sqrt(lambda / (2 - lambda));
  const n = Math.min(360, Math.max(48, Math.ceil((16 * limit) / lambda)));
  const { nodes, weights } = gaussLegendre(n, -limit, limit);
  const matrix = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      matrix[i * n + j] = -kernel(nodes[j]!, nodes[i]!) * weights[j]!;
    }
    matrix[i * n + i] = matrix[i * n + i]! + 1;
  }
  const lengths = solveInPlace(matrix, new Float64Array(n).fill(1));
  if (lengths === null)
    return outOfRange(['average run length', Number.POSITIVE_INFINITY, '1', { min: 1, max: 1e12 }])!;
  let sum = 1;
  for (let j = 0; j < n; j++) sum += lengths[j]! * weights[j]! * kernel(nodes[j]!, 0);
  return outOfRange(['average run length', sum, '1', { min: 1, max: 1e12 }]) ?? value(sum);

  function kernel(x: number, u: number): number {
    return normalDensity((x - (1 - lambda) * u) / lambda - shift) / lambda;
  }
}
