import type { Channel } from './channels.ts';

/**
 * A run of samples in columns: what decoders produce, the engine eats and the store keeps.
 *
 * Invariants
 * - every column and `tUs` have `n` entries;
 * - `tUs` is record time, µs, strictly increasing integers (the start of each averaging interval);
 * - `lengthUs`, where the device averages over an interval, is that interval's length in µs;
 *   `null` means each sample holds until the next one;
 * - a column holds values in its channel's unit (channels.ts); NaN means "unknown" and exists only
 *   inside typed arrays: anything that leaves as JSON turns it into `null`.
 */
export interface SampleChunk {
  readonly n: number;
  readonly tUs: Float64Array;
  readonly lengthUs: Float64Array | null;
  readonly columns: ChunkColumns;
}

export type ChunkColumns = { readonly [K in Channel]?: Float64Array };

/** The samples `from` (inclusive) to `to` (exclusive), sharing memory with `chunk`. */
export function sliceChunk(chunk: SampleChunk, from: number, to: number): SampleChunk {
  const columns: { [K in Channel]?: Float64Array } = {};
  for (const [name, column] of Object.entries(chunk.columns)) {
    columns[name as Channel] = column.subarray(from, to);
  }
  return {
    n: to - from,
    tUs: chunk.tUs.subarray(from, to),
    lengthUs: chunk.lengthUs?.subarray(from, to) ?? null,
    columns,
  };
}

/** The samples that begin from `fromUs` to `toUs`, both included, sharing memory with `chunk`. */
export function sliceByTime(chunk: SampleChunk, fromUs: number, toUs: number): SampleChunk {
  const from = chunk.tUs.findIndex(tUs => tUs >= fromUs);
  const to = chunk.tUs.findLastIndex(tUs => tUs <= toUs) + 1;
  return from < 0 ? sliceChunk(chunk, 0, 0) : sliceChunk(chunk, from, Math.max(from, to));
}

/** What a chunk will hold. */
export interface ChunkShape {
  readonly n: number;
  /** Whether its samples have lengths. */
  readonly timed: boolean;
  readonly channels: readonly Channel[];
}

/** To be filled: all zeros. */
export function emptyChunk({ n, timed, channels }: ChunkShape): SampleChunk {
  const columns: { [K in Channel]?: Float64Array } = {};
  for (const name of channels) columns[name] = new Float64Array(n);
  return { n, tUs: new Float64Array(n), lengthUs: timed ? new Float64Array(n) : null, columns };
}

/** What slices of one chunk are when they follow each other in it, sharing its memory; null where they do not. */
export function rejoinSlices(slices: readonly SampleChunk[]): SampleChunk | null {
  const [first] = slices;
  if (!first) return null;
  const n = slices.reduce((sum, slice) => sum + slice.n, 0);
  const join = (columnOf: (slice: SampleChunk) => Float64Array | null | undefined): Float64Array | null => {
    const { buffer, byteOffset } = columnOf(first)!;
    let end = byteOffset;
    for (const slice of slices) {
      const column = columnOf(slice);
      if (column?.buffer !== buffer || column.byteOffset !== end) return null;
      end += column.byteLength;
    }
    return new Float64Array(buffer, byteOffset, n);
  };
  const tUs = join(slice => slice.tUs);
  const lengthUs = first.lengthUs && join(slice => slice.lengthUs);
  if (!tUs || (first.lengthUs && !lengthUs)) return null;
  const names = Object.keys(first.columns) as Channel[];
  const columns: { [K in Channel]?: Float64Array } = {};
  for (const name of names) {
    const column = join(slice => slice.columns[name]);
    if (!column) return null;
    columns[name] = column;
  }
  // Equal in number, and each of the first was found in all.
  const areAlike = slices.every(slice => Object.keys(slice.columns).length === names.length);
  return areAlike ? { n, tUs, lengthUs, columns } : null;
}

/** One chunk from several in time order; a channel missing from one of them is unknown there. */
export function concatChunks(chunks: readonly SampleChunk[]): SampleChunk {
  const n = chunks.reduce((sum, chunk) => sum + chunk.n, 0);
  const tUs = new Float64Array(n);
  const timed = chunks.length > 0 && chunks.every(chunk => chunk.lengthUs !== null);
  const lengthUs = timed ? new Float64Array(n) : null;
  const columns: { [K in Channel]?: Float64Array } = {};
  const isEverywhere = (name: Channel): boolean => chunks.every(chunk => chunk.columns[name]);
  let at = 0;
  for (const chunk of chunks) {
    tUs.set(chunk.tUs, at);
    if (chunk.lengthUs) lengthUs?.set(chunk.lengthUs, at);
    for (const [channel, column] of Object.entries(chunk.columns)) {
      const name = channel as Channel;
      columns[name] ??= isEverywhere(name) ? new Float64Array(n) : new Float64Array(n).fill(Number.NaN);
      columns[name].set(column, at);
    }
    at += chunk.n;
  }
  return { n, tUs, lengthUs, columns };
}
