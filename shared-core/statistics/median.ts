/** Median of `values` (mean of the middle two for an even count); null for none. Does not change its input. */
export function median(values: ArrayLike<number>): number | null {
  const sorted = Float64Array.from(values).sort();
  const middle = sorted.length >> 1;
  if (sorted.length === 0) return null;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
