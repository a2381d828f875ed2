import { median } from '../statistics/median.ts';

export interface RobustLine {
  /** Change of y for each unit of x. */
  readonly slope: number;
  /** y at x = 0. */
  readonly intercept: number;
}

/**
 * Theil–Sen line: the slope is the median of all pairwise slopes, the intercept the median of y − slope·x.
 * Source: Theil 1950; Sen, J. Amer. Statist. Assoc. 63 (1968). Up to 29 % of wild points do not move it. Pairs with equal x are left
 * out; values that are not finite are skipped. Null with fewer than two different x.
 */
export function theilSen(x: ArrayLike<number>, y: ArrayLike<number>): RobustLine | null {
  const kept: number[] = [];
  for (let i = 0; i < Math.min(x.length, y.length); i++) {
    if (Number.isFinite(x[i]) && Number.isFinite(y[i])) kept.push(i);
  }
  const slopes = new Float64Array((kept.length * (kept.length - 1)) / 2);
  let n = 0;
  for (let a = 0; a < kept.length; a++) {
    const i = kept[a]!;
    for (let b = a + 1; b < kept.length; b++) {
      const j = kept[b]!;
      const run = x[j]! - x[i]!;
      if (run !== 0) slopes[n++] = (y[j]! - y[i]!) / run;
    }
  }
  const slope = median(slopes.subarray(0, n));
  if (slope === null) return null;
  const intercept = median(kept.map(i => y[i]! - slope * x[i]!));
  return intercept === null ? null : { slope, intercept };
}

/**
 * Where the line first reaches a limit after `from` and not beyond `to` (the end of the pass), in the unit of x; null if it does not.
 * A line already beyond the limit at `from` crosses there.
 */
export function crossingOf(
  line: RobustLine,
  limits: { readonly min: number | null; readonly max: number | null },
  from: number,
  to: number,
): { readonly at: number; readonly limit: 'min' | 'max' } | null {
  const start = line.intercept + line.slope * from;
  const crossings: { at: number; limit: 'min' | 'max' }[] = [];
  if (limits.max !== null) {
    if (start > limits.max) crossings.push({ at: from, limit: 'max' });
    else if (line.slope > 0) crossings.push({ at: from + (limits.max - start) / line.slope, limit: 'max' });
  }
  if (limits.min !== null) {
    if (start < limits.min) crossings.push({ at: from, limit: 'min' });
    else if (line.slope < 0) crossings.push({ at: from + (limits.min - start) / line.slope, limit: 'min' });
  }
  crossings.sort((a, b) => a.at - b.at);
  const first = crossings[0];
  return first !== undefined && first.at <= to ? first : null;
}
