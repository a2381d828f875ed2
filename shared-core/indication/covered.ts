/**
 * Which of what was welded lies under an indication: windows, stops and events of every pass, within the
 * uncertainty of both positions. What is listed lies there; whether it has to do with the indication is for
 * a person to say, and "no correlation found" is an answer.
 */
import type { Side } from '../messages/common.ts';
import { circumferentialPosition } from '../position/circumferential-position.ts';
import { normalDegrees } from '../position/clock-position.ts';
import { overlaps, type Stretch, widened } from './place.ts';

/** Looked at on either side of an indication besides the uncertainties, mm (common practice, no source). */
export const LOOK_AROUND_MM = 25;

/** Where a pass was welded from. */
export interface SideFrame {
  readonly side: Side;
  /** Degrees clockwise from the top where the side starts. */
  readonly startDegrees: number;
  readonly outsideDiameterMm: number;
  /** Standard (k = 1) uncertainty of a place on the side, mm; null: not known, taken as 0 and said so by the caller. */
  readonly uncertaintyMm: number | null;
}

/** The circumference between two places of a side, mm along it. */
export function stretchOfSide(frame: SideFrame, fromMm: number, toMm: number): Stretch {
  const at = (alongMm: number): number => circumferentialPosition({ ...frame, alongMm }).degrees;
  const spanDegrees = Math.min(360, (360 * Math.abs(toMm - fromMm)) / (Math.PI * frame.outsideDiameterMm));
  const forward = frame.side === 'B';
  const first = Math.min(fromMm, toMm);
  const last = Math.max(fromMm, toMm);
  return { fromDegrees: forward ? at(first) : at(last), spanDegrees };
}

/**
 * A stretch of the circumference along a side, mm from its start; the inverse of stretchOfSide. What lies less than a
 * quarter of the way behind the start is at negative mm: a side may begin a little before its zero.
 */
export function alongSide(
  frame: Pick<SideFrame, 'side' | 'startDegrees' | 'outsideDiameterMm'>,
  stretch: Stretch,
): { readonly fromMm: number; readonly toMm: number } {
  const circumferenceMm = Math.PI * frame.outsideDiameterMm;
  const first =
    frame.side === 'B'
      ? stretch.fromDegrees - frame.startDegrees
      : frame.startDegrees - (stretch.fromDegrees + stretch.spanDegrees);
  const ahead = normalDegrees(first);
  const fromMm = ((ahead > 270 ? ahead - 360 : ahead) / 360) * circumferenceMm;
  return { fromMm, toMm: fromMm + (stretch.spanDegrees / 360) * circumferenceMm };
}

/** An indication's stretch widened by everything not known of it and of the side, and the look around. */
export function lookedAt(
  place: Stretch & { readonly uncertaintyMm: number },
  frame: SideFrame,
  aroundMm = LOOK_AROUND_MM,
): Stretch {
  const bothMm = Math.hypot(place.uncertaintyMm, 2 * (frame.uncertaintyMm ?? 0)) + aroundMm;
  return widened(place, (360 * bothMm) / (Math.PI * frame.outsideDiameterMm));
}

/** Whatever of `items` reaches into the stretch; items without a place are left out. */
export function under<T extends { readonly fromMm: number | null; readonly toMm: number | null }>(
  items: readonly T[],
  stretch: Stretch,
  frame: SideFrame,
): T[] {
  return items.filter(
    ({ fromMm, toMm }) =>
      fromMm !== null && toMm !== null && overlaps(stretchOfSide(frame, fromMm, toMm), stretch),
  );
}
