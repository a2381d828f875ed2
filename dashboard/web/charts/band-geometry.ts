/** A limit as drawn: null at an end that is open. */
export interface Band {
  readonly min: number | null;
  readonly nominal: number | null;
  readonly max: number | null;
}

/** Places on a bar, 0 at its left end and 1 at its right. */
export interface BandGeometry {
  /** Left and right end of the allowed stretch; an open end reaches the bar's own end. */
  readonly from: number;
  readonly to: number;
  readonly minMark: number | null;
  readonly maxMark: number | null;
  readonly target: number | null;
  /** Where the pointer stands; null without a value or without a scale. */
  readonly pointer: number | null;
  /** The value lies beyond the bar: the pointer stays at the end and changes its shape. */
  readonly offScale: 'low' | 'high' | null;
  readonly state: 'inside' | 'below' | 'above' | 'unknown';
}

/** Both limits stand here, so every bar on the screen reads alike whatever its units. */
export const LOW_END = 0.2;
export const HIGH_END = 0.8;

/** Value `at` stands at `place`. */
interface Scale {
  readonly at: number;
  readonly place: number;
  readonly perUnit: number;
}

/** A linear scale through two known places; null where they do not tell a scale. */
function scaleThrough(a: number, atA: number, b: number, atB: number): Scale | null {
  if (!(b > a)) return null;
  return { at: a, place: atA, perUnit: (atB - atA) / (b - a) };
}

function scaleOf({ min, nominal, max }: Band): Scale | null {
  if (min !== null && max !== null && min < max) return scaleThrough(min, LOW_END, max, HIGH_END);
  // An exact value stands in the middle with a tenth of itself to either limit place.
  if (min !== null && min === max) {
    return scaleThrough(min - Math.abs(min) / 10, LOW_END, min + Math.abs(min) / 10, HIGH_END);
  }
  if (max !== null) return scaleThrough(nominal ?? 0, nominal === null ? 0 : 0.5, max, HIGH_END);
  if (min !== null) {
    return nominal === null || nominal === min
      ? scaleThrough(min, LOW_END, 2 * min, HIGH_END)
      : scaleThrough(min, LOW_END, nominal, 0.5);
  }
  return nominal === null ? null : scaleThrough(0, 0, nominal, 0.5);
}

/** Where band, limit marks, target and pointer stand; both limits always at 0.2 and 0.8. Values in one unit. */
export function bandGeometry(band: Band, value: number | null): BandGeometry {
  const scale = scaleOf(band);
  const place = (at: number | null): number | null =>
    at === null || scale === null ? null : scale.place + (at - scale.at) * scale.perUnit;
  const minMark = place(band.min);
  const maxMark = place(band.max);
  const raw = place(value);
  return {
    from: minMark ?? 0,
    to: maxMark ?? 1,
    minMark,
    maxMark,
    target: place(band.nominal),
    pointer: raw === null ? null : Math.min(1, Math.max(0, raw)),
    offScale: raw === null ? null : raw < 0 ? 'low' : raw > 1 ? 'high' : null,
    state: stateOf(band, value),
  };
}

/** The values at the two ends of a bar; null without a scale. A trend is drawn on the same scale as its bar. */
export function bandRange(band: Band): { readonly low: number; readonly high: number } | null {
  const scale = scaleOf(band);
  if (scale === null) return null;
  const valueAt = (place: number): number => scale.at + (place - scale.place) / scale.perUnit;
  return { low: valueAt(0), high: valueAt(1) };
}

function stateOf({ min, max }: Band, value: number | null): BandGeometry['state'] {
  if (value === null || (min === null && max === null)) return 'unknown';
  if (min !== null && value < min) return 'below';
  return max !== null && value > max ? 'above' : 'inside';
}
