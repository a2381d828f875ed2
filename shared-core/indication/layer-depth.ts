/**
 * How deep each layer lies: the groove filled from below with what each pass put in. A pass covers an
 * indication's depth where its layer and the indication share some of the wall, widened for what neither
 * the deposit nor the scan knows better.
 */
import { fillHeight, type Groove, wallOf } from '../metal/groove.ts';

/** A layer's depth by its mean deposit is not known better than this, nor is a scan's depth, ± mm (our own choice). */
export const DEPTH_SLACK_MM = 1.5;

export interface LayerDepth {
  /** From the outside of the pipe; a cap that stands proud is at negative depth. */
  readonly topMm: number;
  readonly bottomMm: number;
}

/**
 * Depth of each layer from the outside, in the order they were welded. `areasMm2` is what each layer put into
 * the groove, mm²; null where it is not known, which leaves it and every later layer unknown.
 */
export function layerDepths(groove: Groove, areasMm2: readonly (number | null)[]): (LayerDepth | null)[] {
  const wallMm = wallOf(groove);
  let filledMm2 = 0;
  // The first layer melts the root face: it reaches the inside, though a closed root face holds no deposit.
  let bottomMm = wallMm;
  let lost = false;
  return areasMm2.map(areaMm2 => {
    if (areaMm2 === null) lost = true;
    if (lost || areaMm2 === null) return null;
    filledMm2 += areaMm2;
    const layer = { topMm: wallMm - fillHeight(groove, filledMm2), bottomMm };
    bottomMm = layer.topMm;
    return layer;
  });
}

/** True where they share depth within `slackMm`; an unknown depth of either excludes nothing. */
export function sharesDepth(
  layer: LayerDepth | null,
  indication: { readonly depthMm: number | null; readonly heightMm: number | null },
  slackMm: number,
): boolean {
  if (layer === null || indication.depthMm === null) return true;
  const top = indication.depthMm - slackMm;
  const bottom = indication.depthMm + (indication.heightMm ?? 0) + slackMm;
  return layer.topMm <= bottom && layer.bottomMm >= top;
}
