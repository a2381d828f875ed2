/**
 * How long the disk lasts, from what is stored itself: a restart forgets nothing and no measurement has to wait.
 * The busiest of the last seven days counts, since a quiet weekend promises nothing.
 */

export const DAY_MS = 86_400_000;
const DAYS = 7;
/** Less says too little: a start is no ordinary hour. */
const TELLING_MS = 600_000;

export interface Recorded {
  /** What a record takes, everything read out of it included. */
  readonly bytesPerRecord: number;
  readonly records: number;
  /** Of the first record; null before it. */
  readonly firstMs: number | null;
  /** How many records had come by then. */
  readonly recordsAt: (ms: number) => number;
}

/** Bytes a day; null before ten minutes of records. */
export function writePace(
  { bytesPerRecord, records, firstMs, recordsAt }: Recorded,
  nowMs: number,
): number | null {
  if (firstMs === null || records === 0 || nowMs - firstMs < TELLING_MS) return null;
  const ageMs = nowMs - firstMs;
  if (ageMs < DAY_MS) return (records * bytesPerRecord * DAY_MS) / ageMs;
  let busiest = 0;
  for (let day = 0; day < DAYS; day++) {
    const to = nowMs - day * DAY_MS;
    if (to <= firstMs) break;
    busiest = Math.max(busiest, recordsAt(to) - recordsAt(to - DAY_MS));
  }
  return busiest * bytesPerRecord;
}
