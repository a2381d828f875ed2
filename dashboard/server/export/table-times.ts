/** The three times that every row of a table begins with. */
import type { CsvColumns } from '#core/csv/csv-writer';
import { rounded } from '#core/csv/csv-writer';
import { localTime, utcTime } from '#core/csv/local-time';

const S_DECIMALS = 6;

/** `atMs` UTC; `tS` seconds from the start of the pass the row is of. */
export function timeColumns<Row>(
  zone: string,
  atMs: (row: Row) => number,
  tS: (row: Row) => number | null,
): CsvColumns<Row> {
  const local = localTime(zone);
  return {
    time_utc: row => utcTime(atMs(row)),
    time_local: row => local(atMs(row)),
    t_s: row => rounded(tS(row), S_DECIMALS),
  };
}
