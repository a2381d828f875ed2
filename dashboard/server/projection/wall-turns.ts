/**
 * InfluxDB knows a point by measurement, tags and time: two samples of a rig that read the same time would be one. Record
 * time never repeats along a stream, but the wall clock may be put back, and two stores of one rig may overlap. So the
 * three digits below a microsecond, which no sample uses, tell such readings apart:
 *
 *   digits = 25 × number of the stream among the rig's streams + turn
 *
 * A turn is a run of batches whose wall times go on; a batch that begins before the end of one takes the first turn that
 * ended before it begins. Within a turn times only grow, turns of a stream differ, and so do streams: no two samples
 * share a time. Of the first stream of a clock that was never put back the digits are zeros.
 */
const TURNS = 25;
const STREAMS = 40;

/** End of each turn so far, wall clock µs. */
export type Turns = readonly number[];

export type Placed = { readonly digits: number; readonly turns: Turns } | { readonly refused: string };

/** `firstUs`, `lastUs`: first and last sample of the stream's next batch by the wall clock. */
export function placeBatch(turns: Turns, ordinal: number, firstUs: number, lastUs: number): Placed {
  if (ordinal >= STREAMS) return { refused: `more than ${STREAMS} streams of one rig` };
  const free = turns.findIndex(endUs => endUs < firstUs);
  const turn = free < 0 ? turns.length : free;
  if (turn >= TURNS) return { refused: `the clock read this time more than ${TURNS} times` };
  return {
    digits: TURNS * ordinal + turn,
    turns: [...turns.slice(0, turn), lastUs, ...turns.slice(turn + 1)],
  };
}

/** A time as InfluxDB takes it in ns, of whole wall clock µs and the digits below. */
export function timeNs(wallUs: number, digits: number): string {
  return `${wallUs}${String(digits).padStart(3, '0')}`;
}
