/** Widths of the buckets of zoom levels (zoom-levels.ts): 1 s, and twice as wide from level to level. */
const FINEST_US = 1_000_000;
const STEP = 2;

/** Level widths from the finest to the widest, µs. */
export const ZOOM_WIDTHS_US: readonly number[] = Array.from({ length: 17 }, (_, i) => FINEST_US * STEP ** i);

/** The widest level not wider than `widthUs`; null where that is finer than any. */
export function zoomWidthBelow(widthUs: number): number | null {
  return ZOOM_WIDTHS_US.findLast(width => width <= widthUs) ?? null;
}
