import type { MinMaxSeries } from './min-max.ts';

/** One value of the live lane; null where it is unknown or there is no data. */
export interface LivePoint {
  readonly tUs: number;
  readonly value: number | null;
}

/**
 * History and live as one series: everything stored, then the live points newer than the last of it.
 * Subscribe first, fetch then: what arrived during the fetch is in `live`, and what both hold is drawn once,
 * from the store. `live` is in time order; an unknown live value leaves a hole.
 */
export function joinHistory(history: MinMaxSeries, live: readonly LivePoint[]): MinMaxSeries {
  const joined: MinMaxSeries = { tUs: [...history.tUs], min: [...history.min], max: [...history.max] };
  let newest = history.tUs.at(-1) ?? Number.NEGATIVE_INFINITY;
  for (const { tUs, value } of live) {
    if (tUs <= newest) continue;
    newest = tUs;
    if (value === null) continue;
    joined.tUs.push(tUs);
    joined.min.push(value);
    joined.max.push(value);
  }
  return joined;
}
