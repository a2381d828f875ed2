import type { Side } from '#core/messages/common';

/** Angles are degrees clockwise from 12, looking downstream; y grows downwards as on every screen. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

export interface Arc {
  /** Clockwise from `fromDeg` to `toDeg`, 0 ≤ to − from ≤ 360. */
  readonly fromDeg: number;
  readonly toDeg: number;
}

export const CENTRE = 120;
/** Outside of the last layer and inside of the first. */
export const OUTER = 94;
export const INNER = 60;

/** x = c + r sin θ, y = c − r cos θ. */
export function pointAt(radius: number, degrees: number): Point {
  const radians = (degrees * Math.PI) / 180;
  return { x: CENTRE + radius * Math.sin(radians), y: CENTRE - radius * Math.cos(radians) };
}

const round = (value: number): string => String(Math.round(value * 100) / 100);

/** An SVG path along a circle, clockwise; a whole turn is drawn as two halves. */
export function arcPath(radius: number, { fromDeg, toDeg }: Arc): string {
  const sweep = toDeg - fromDeg;
  if (!(sweep > 0)) return '';
  if (sweep >= 360) {
    return `${arcPath(radius, { fromDeg, toDeg: fromDeg + 180 })} ${arcPath(radius, { fromDeg: fromDeg + 180, toDeg: fromDeg + 359.999 })}`;
  }
  const from = pointAt(radius, fromDeg);
  const to = pointAt(radius, toDeg);
  const large = sweep > 180 ? 1 : 0;
  return `M${round(from.x)} ${round(from.y)}A${radius} ${radius} 0 ${large} 1 ${round(to.x)} ${round(to.y)}`;
}

/** A stretch of weld in the side's own direction from 12 → clockwise angles. Side A runs against the clock. */
export function spanArc(side: Side, fromMm: number, toMm: number, outsideDiameterMm: number): Arc {
  const degrees = (mm: number): number => (360 * mm) / (Math.PI * outsideDiameterMm);
  const [near, far] = fromMm <= toMm ? [fromMm, toMm] : [toMm, fromMm];
  const length = Math.min(360, degrees(far - near));
  if (side === 'B') return { fromDeg: degrees(near), toDeg: degrees(near) + length };
  return { fromDeg: 360 - degrees(near) - length, toDeg: 360 - degrees(near) };
}

/** The arc a position may lie in: ± uncertainty, never drawn thinner than 2°, so that it can be seen. */
export function uncertaintyArc(degrees: number, uncertaintyMm: number, outsideDiameterMm: number): Arc {
  const half = Math.min(180, Math.max(1, (360 * Math.abs(uncertaintyMm)) / (Math.PI * outsideDiameterMm)));
  return { fromDeg: degrees - half, toDeg: degrees + half };
}

/** Middle radius and stroke width of layer `index` of `count`, the first pass innermost. */
export function layerRadius(
  index: number,
  count: number,
): { readonly radius: number; readonly width: number } {
  const pitch = (OUTER - INNER) / Math.max(1, count);
  return { radius: INNER + pitch * (index + 0.5), width: Math.min(9, pitch * 0.74) };
}

/** Keeps labels of one ring apart: each angle is moved on until it is `apart` from the one before. Order is kept. */
export function spread(degrees: readonly number[], apart: number): number[] {
  const order = degrees.map((_, i) => i).sort((a, b) => (degrees[a] ?? 0) - (degrees[b] ?? 0));
  const placed = [...degrees];
  let last = Number.NEGATIVE_INFINITY;
  for (const i of order) {
    last = Math.max(degrees[i] ?? 0, last + apart);
    placed[i] = last;
  }
  return placed;
}
