/**
 * Trims that no chart saw, looked for once when a pass is over: with the procedure's tolerance as the only measure, or
 * a spread learned from such passes, a trim inside the range is too small to be called, and would be learned as spread.
 *
 * Of all places the one where a step leaves the least sum of squares (Hinkley, Biometrika 57, 1970), if its
 * t = |Δ|/(s·√(1/n₁ + 1/n₂)) is beyond anything that windows which know of each other do by chance; then again
 * with that step taken off. s from the differences of neighbours, which other steps do not widen.
 */
import { median } from '../statistics/median.ts';
import type { MeantChange, WindowRow } from './window-rows.ts';

/** Windows on either side that a level needs. */
const LEAST_SIDE = 3;
/** Far beyond chance: about 10 standard errors of independent windows, 5 of windows correlated by 0.6. */
const LEAST_T = 10;
/** Smaller than this share of the level is no trim that anybody makes. */
const LEAST_SHARE = 0.015;
const MOST_TRIMS = 4;

/** Steps of `channel` that `meant` does not hold yet. */
export function unseenTrims(
  rows: readonly WindowRow[],
  channel: number,
  meant: readonly MeantChange[],
): MeantChange[] {
  const found: MeantChange[] = [];
  for (let round = 0; round < MOST_TRIMS; round++) {
    const step = bestStep(rows, channel, [...meant, ...found]);
    if (step === null) break;
    found.push(step);
  }
  return found;
}

/** Standard deviation from the median distance of neighbours: 1.4826·median|yᵢ − yᵢ₋₁|/√2 (normal distribution). */
const scatterOf = (y: readonly number[]): number =>
  (1.4826 * (median(y.slice(1).map((value, i) => Math.abs(value - y[i]!))) ?? 0)) / Math.SQRT2;

function bestStep(
  rows: readonly WindowRow[],
  channel: number,
  meant: readonly MeantChange[],
): MeantChange | null {
  const known = rows.filter(row => !Number.isNaN(row.values[channel]!));
  const y = known.map(row =>
    meant.reduce(
      (value, one) => (one.channel === channel && row.fromMm >= one.fromMm ? value - one.change : value),
      row.values[channel]!,
    ),
  );
  const n = y.length;
  const total = y.reduce((sum, value) => sum + value, 0);
  const squares = y.reduce((sum, value) => sum + value * value, 0);
  let before = 0;
  let best = { at: 0, left: Number.POSITIVE_INFINITY, change: 0, level: 0 };
  for (let at = 1; at < n; at++) {
    before += y[at - 1]!;
    if (at < LEAST_SIDE || n - at < LEAST_SIDE) continue;
    const after = total - before;
    const left = squares - (before * before) / at - (after * after) / (n - at);
    const level = before / at;
    if (left < best.left) best = { at, left, change: after / (n - at) - level, level };
  }
  const { at, change, level } = best;
  if (at === 0) return null;
  const error = scatterOf(y) * Math.sqrt(1 / at + 1 / (n - at));
  if (Math.abs(change) < LEAST_T * error || Math.abs(change) < (LEAST_SHARE * total) / n) return null;
  // The window in which it came has something of both levels: the step is put inside it, so that it counts for neither.
  const last = Math.abs(y[at - 1]! - level);
  const first = Math.abs(y[at]! - level - change);
  const mixed = known[last > first ? at - 1 : at]!;
  return { channel, fromMm: (mixed.fromMm + mixed.toMm) / 2, change };
}
