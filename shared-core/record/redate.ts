/**
 * A time that was recorded before the clock was set, dated by what the clock said once it was: along one run of the
 * edge record time only goes on, so the map of a later moment holds for an earlier one.
 */
import type { ClockMapRow } from '../messages/clock-map.ts';

/** The first row after `recordUs`, of the same run, with a clock that a time service kept; `rows` in time order. */
export function mapFor(rows: readonly ClockMapRow[], recordUs: number): ClockMapRow | null {
  for (const row of rows) {
    if (row.recordUs <= recordUs) continue;
    // Another run: how long the edge was off in between, nobody knows.
    if (row.cause === 'start') return null;
    if (row.state === 'synced') return row;
  }
  return null;
}

/** UTC in ms since 1970. */
export function utcMsBy({ utcMinusRecordMs }: ClockMapRow, recordUs: number): number {
  return Math.floor(recordUs / 1000) + utcMinusRecordMs;
}
