/**
 * A groove as its width at each height above the inside of the pipe: a polyline, straight between its points, the same along the
 * joint. Units mm and mm². Source: plane geometry. Heights rise from 0 to the wall thickness.
 */
export interface Groove {
  readonly heightMm: Float64Array;
  readonly widthMm: Float64Array;
  /** Area below each point, mm². */
  readonly areaMm2: Float64Array;
}

export interface GroovePoint {
  readonly heightMm: number;
  readonly widthMm: number;
}

export type GrooveResult =
  | { readonly kind: 'groove'; readonly groove: Groove }
  | { readonly kind: 'invalid'; readonly text: string };

const invalid = (text: string): GrooveResult => ({ kind: 'invalid', text });

/** Any bevel: two or more points from height 0 upwards, widths not negative. */
export function grooveFromPoints(points: readonly GroovePoint[]): GrooveResult {
  if (points.length < 2) return invalid('a groove needs at least two points');
  if (points.length > 1000) return invalid('a groove may have at most 1000 points');
  const n = points.length;
  const groove = {
    heightMm: new Float64Array(n),
    widthMm: new Float64Array(n),
    areaMm2: new Float64Array(n),
  };
  for (const [i, { heightMm, widthMm }] of points.entries()) {
    if (!Number.isFinite(heightMm) || !Number.isFinite(widthMm)) {
      return invalid(`groove point ${i + 1} is not a finite number`);
    }
    if (widthMm < 0) return invalid(`groove point ${i + 1}: width ${widthMm} mm is negative`);
    const below = points[i - 1];
    if (below === undefined && heightMm !== 0)
      return invalid('the first groove point must be at height 0 mm');
    if (below !== undefined && heightMm <= below.heightMm) {
      return invalid(`groove point ${i + 1}: height ${heightMm} mm is not above ${below.heightMm} mm`);
    }
    groove.heightMm[i] = heightMm;
    groove.widthMm[i] = widthMm;
    if (below !== undefined) {
      groove.areaMm2[i] =
        groove.areaMm2[i - 1]! + ((below.widthMm + widthMm) / 2) * (heightMm - below.heightMm);
    }
  }
  return { kind: 'groove', groove };
}

/** Wall thickness the groove is cut through, mm. */
export const wallOf = (groove: Groove): number => groove.heightMm[groove.heightMm.length - 1]!;

/** The whole cross-section, root to flush, mm². */
export const grooveAreaMm2 = (groove: Groove): number => groove.areaMm2[groove.areaMm2.length - 1]!;

/** Index of the segment that holds `at` in an ascending array. */
function segmentOf(ascending: Float64Array, at: number): number {
  let segment = 0;
  while (segment < ascending.length - 2 && ascending[segment + 1]! <= at) segment++;
  return segment;
}

/** Width at a height, mm; heights beyond the ends give the ends' width. */
export function widthAt(groove: Groove, heightMm: number): number {
  const i = segmentOf(groove.heightMm, heightMm);
  const low = groove.heightMm[i]!;
  const high = groove.heightMm[i + 1]!;
  const share = Math.min(1, Math.max(0, (heightMm - low) / (high - low)));
  return groove.widthMm[i]! + share * (groove.widthMm[i + 1]! - groove.widthMm[i]!);
}

/** Cross-section from the root up to a height, mm²; above the wall it is the whole. */
export function areaBelow(groove: Groove, heightMm: number): number {
  const wall = wallOf(groove);
  if (heightMm <= 0) return 0;
  if (heightMm >= wall) return grooveAreaMm2(groove);
  const i = segmentOf(groove.heightMm, heightMm);
  const width = (groove.widthMm[i]! + widthAt(groove, heightMm)) / 2;
  return groove.areaMm2[i]! + width * (heightMm - groove.heightMm[i]!);
}

/**
 * Height to which an area of metal fills the groove, mm. More metal than the groove holds stands at the wall thickness: the rest is
 * reinforcement. A closed root face holds nothing, so no metal at all stands at its top.
 */
export function fillHeight(groove: Groove, areaMm2: number): number {
  if (areaMm2 >= grooveAreaMm2(groove)) return wallOf(groove);
  const i = segmentOf(groove.areaMm2, Math.max(0, areaMm2));
  const width = groove.widthMm[i]!;
  const span = groove.heightMm[i + 1]! - groove.heightMm[i]!;
  const slope = (groove.widthMm[i + 1]! - width) / span;
  const left = Math.max(0, areaMm2) - groove.areaMm2[i]!;
  // left = width·y + slope·y²/2, in the form that stays exact as slope → 0.
  // Roots apart: products of a gap and an area that are all but nothing would vanish, and the height with them.
  const root =
    slope >= 0
      ? Math.hypot(width, Math.sqrt(2 * slope) * Math.sqrt(left))
      : Math.sqrt(Math.max(0, width * width + 2 * slope * left));
  const rise = width + root === 0 ? 0 : (2 * left) / (width + root);
  return groove.heightMm[i]! + Math.min(rise, span);
}

/** Height gained by laying `layerAreaMm2` on what is there, mm: the layer's height at this groove's width. */
export const layerRise = (groove: Groove, filledAreaMm2: number, layerAreaMm2: number): number =>
  fillHeight(groove, filledAreaMm2 + layerAreaMm2) - fillHeight(groove, filledAreaMm2);

/** Area still to fill up to `flushAllowanceMm` below the outside, mm²; 0 once there. */
export const remainingAreaMm2 = (groove: Groove, filledAreaMm2: number, flushAllowanceMm = 0): number =>
  Math.max(0, areaBelow(groove, wallOf(groove) - flushAllowanceMm) - filledAreaMm2);
