import { clockPosition, normalDegrees } from '../position/clock-position.ts';
import type { Indication, ScanFrame } from './indication.ts';

/** A stretch of the circumference, clockwise looking downstream. */
export interface Stretch {
  /** 0 ≤ ° < 360, clockwise from the top. */
  readonly fromDegrees: number;
  /** How far it reaches clockwise, 0 ≤ ° ≤ 360. */
  readonly spanDegrees: number;
}

export interface IndicationPlace extends Stretch {
  readonly toDegrees: number;
  readonly fromClock: number;
  readonly toClock: number;
  /** Along the outside from 12 o'clock, clockwise looking downstream. */
  readonly fromMm: number;
  readonly toMm: number;
  /** Expanded (k = 2) uncertainty of the place, mm along the outside. */
  readonly uncertaintyMm: number;
}

/**
 * From the scan's counting to the joint's: θ = zero ± position, ± by the scan's sense; a position in mm is
 * 360·mm/(π·D_ref), in hours of the clock 30° each. Source: geometry; zero and sense are the scan's settings.
 */
export function indicationPlace(
  indication: Pick<Indication, 'position' | 'unit' | 'lengthMm'>,
  frame: ScanFrame,
  outsideDiameterMm: number,
): IndicationPlace {
  const circumferenceMm = Math.PI * outsideDiameterMm;
  const perMm = 360 / (Math.PI * (frame.referenceDiameterMm ?? outsideDiameterMm));
  const { position, unit, lengthMm } = indication;
  const counted = unit === 'mm' ? position * perMm : unit === 'degrees' ? position : position * 30;
  const spanDegrees = Math.min(360, lengthMm * perMm);
  const clockwise = frame.sense === 'clockwise';
  const begin = frame.zeroDegrees + (clockwise ? counted : -counted);
  const fromDegrees = normalDegrees(clockwise ? begin : begin - spanDegrees);
  const toDegrees = normalDegrees(fromDegrees + spanDegrees);
  return {
    fromDegrees,
    spanDegrees,
    toDegrees,
    fromClock: clockPosition(fromDegrees),
    toClock: clockPosition(toDegrees),
    fromMm: (fromDegrees / 360) * circumferenceMm,
    toMm: (toDegrees / 360) * circumferenceMm,
    uncertaintyMm: frame.zeroUncertaintyMm,
  };
}

/** The stretch with `degrees` added at both ends. */
export function widened({ fromDegrees, spanDegrees }: Stretch, degrees: number): Stretch {
  const span = Math.min(360, spanDegrees + 2 * degrees);
  return { fromDegrees: normalDegrees(fromDegrees - degrees), spanDegrees: span };
}

/** True where two stretches share a place; touching ends count. */
export function overlaps(a: Stretch, b: Stretch): boolean {
  const ahead = normalDegrees(b.fromDegrees - a.fromDegrees);
  return ahead <= a.spanDegrees || normalDegrees(-ahead) <= b.spanDegrees;
}
