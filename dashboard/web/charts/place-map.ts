/**
 * Time of a pass ⇄ place along its side. Windows carry both; what lies before, between and behind them (a rest too
 * short for a window, a stop) is straight between their ends, so that no sample of the pass is without a place.
 */
import type { ReviewPass } from '#core/messages/api-review';

type ReviewWindow = ReviewPass['windows'][number];

export interface Stretch {
  readonly fromMm: number;
  readonly toMm: number;
  /** Seconds from the start of the pass. */
  readonly fromS: number;
  readonly toS: number;
}

/** What a place map is made of. */
export type Placed = Pick<ReviewPass, 'windows'> & {
  readonly message: Pick<ReviewPass['message'], 'startUs' | 'endUs'> & {
    readonly pass: Pick<ReviewPass['message']['pass'], 'startPositionMm' | 'endPositionMm'>;
  };
};

export const endOf = ({ message }: Pick<Placed, 'message'>): number =>
  (message.endUs - message.startUs) / 1e6;

/** The pass from its start to its end; empty where no place of it is known. */
export function placeMap(placed: Placed): Stretch[] {
  const { startPositionMm, endPositionMm } = placed.message.pass;
  const endS = endOf(placed);
  const known = placed.windows.flatMap(({ fromMm, toMm, fromS, toS }): Stretch[] =>
    fromMm === null || toMm === null ? [] : [{ fromMm, toMm, fromS, toS }],
  );
  if (known.length === 0) return [];
  const made: Stretch[] = [];
  let at = { mm: startPositionMm ?? known[0]!.fromMm, s: 0 };
  for (const one of known) {
    if (one.fromS > at.s) made.push({ fromMm: at.mm, toMm: one.fromMm, fromS: at.s, toS: one.fromS });
    made.push(one);
    at = { mm: one.toMm, s: one.toS };
  }
  const last = endPositionMm ?? at.mm;
  if (endS > at.s) made.push({ fromMm: at.mm, toMm: last, fromS: at.s, toS: endS });
  return made;
}

/** Place at `s` seconds of the pass, mm along the side; null outside the pass. */
export function placeAt(map: readonly Stretch[], s: number): number | null {
  let low = 0;
  let high = map.length - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const { fromS, toS, fromMm, toMm } = map[middle]!;
    if (s < fromS) high = middle - 1;
    else if (s > toS) low = middle + 1;
    else return toS > fromS ? fromMm + ((s - fromS) / (toS - fromS)) * (toMm - fromMm) : fromMm;
  }
  return null;
}

/** Seconds of the pass when the side stood at `mm`, the first time; null where it never did. */
export function timeAt(map: readonly Stretch[], mm: number): number | null {
  for (const { fromMm, toMm, fromS, toS } of map) {
    if (mm < Math.min(fromMm, toMm) || mm > Math.max(fromMm, toMm)) continue;
    return toMm === fromMm ? fromS : fromS + ((mm - fromMm) / (toMm - fromMm)) * (toS - fromS);
  }
  return null;
}

/** The window that covers `mm`; null where none does. */
export const windowAt = (windows: readonly ReviewWindow[], mm: number): ReviewWindow | null =>
  windows.find(
    ({ fromMm, toMm }) =>
      fromMm !== null && toMm !== null && mm >= Math.min(fromMm, toMm) && mm <= Math.max(fromMm, toMm),
  ) ?? null;

/** From the first to the last place of a pass; null where none is known. */
export function extentOf(map: readonly Stretch[]): { fromMm: number; toMm: number } | null {
  const known = map.flatMap(({ fromMm, toMm }) => [fromMm, toMm]);
  return known.length === 0 ? null : { fromMm: Math.min(...known), toMm: Math.max(...known) };
}

/** The stretch asked for, in order and inside the pass; all of it where nothing, or nothing of it, is asked for. */
export function askedStretch(
  map: readonly Stretch[],
  asked: { readonly fromMm: number | null; readonly toMm: number | null },
): { fromMm: number; toMm: number } | null {
  const extent = extentOf(map);
  if (extent === null) return null;
  const [a, b] = [asked.fromMm ?? extent.fromMm, asked.toMm ?? extent.toMm];
  const fromMm = Math.max(extent.fromMm, Math.min(a, b));
  const toMm = Math.min(extent.toMm, Math.max(a, b));
  return toMm - fromMm >= 1 ? { fromMm, toMm } : extent;
}
