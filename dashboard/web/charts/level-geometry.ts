/** Single values in order with limits of what is usual: places in a box of the given size. */
export interface LevelPoint {
  readonly key: string;
  readonly value: number;
  readonly outside: boolean;
}

export interface LevelLines {
  readonly centre: number;
  readonly lower: number;
  readonly upper: number;
}

export interface LevelGeometry {
  readonly points: readonly { readonly x: number; readonly y: number; readonly outside: boolean }[];
  readonly lines: { readonly centre: number; readonly lower: number; readonly upper: number } | null;
}

const MARGIN = 10;

/**
 * Least and greatest of what is drawn, with room; equal values get a range around them. `leastSpan`, in the unit of the
 * values, keeps a difference that cannot be read in figures from filling the whole height.
 */
export function levelRange(
  values: readonly number[],
  lines: LevelLines | null,
  leastSpan = 0,
): { low: number; high: number } {
  const all = lines === null ? values : [...values, lines.lower, lines.upper];
  const low = Math.min(...all);
  const high = Math.max(...all);
  const room = high > low ? (high - low) * 0.1 : Math.abs(high) * 0.05 || 1;
  const lacking = Math.max(0, leastSpan - (high - low + 2 * room)) / 2;
  return { low: low - room - lacking, high: high + room + lacking };
}

export function levelGeometry(
  points: readonly LevelPoint[],
  lines: LevelLines | null,
  range: { readonly low: number; readonly high: number },
  size: { readonly width: number; readonly height: number },
): LevelGeometry {
  const perUnit = (size.height - 2 * MARGIN) / (range.high - range.low);
  const yOf = (value: number): number => size.height - MARGIN - (value - range.low) * perUnit;
  const step = points.length > 1 ? (size.width - 2 * MARGIN) / (points.length - 1) : 0;
  return {
    points: points.map(({ value, outside }, i) => ({
      x: points.length > 1 ? MARGIN + i * step : size.width / 2,
      y: yOf(value),
      outside,
    })),
    lines: lines && { centre: yOf(lines.centre), lower: yOf(lines.lower), upper: yOf(lines.upper) },
  };
}
