/**
 * Summaries of a stretch of samples at several zoom levels: per bucket of time and channel the least and the greatest
 * value. A view over hours reads these instead of the samples, and misses no extreme.
 *
 * Invariants
 * - a bucket of a level is [k·width, (k+1)·width) of record time, the same in every stretch; only those with a sample
 *   are there, in time order; a channel unknown in all of one is NaN there;
 * - levels go from the finest to the widest; each says the same extremes as the samples do.
 */
import { CHANNEL_NAMES, type Channel } from '../sample/channels.ts';
import type { ChunkColumns, SampleChunk } from '../sample/chunk.ts';
import { decodeDense, encodeDense } from '../sample/dense-codec.ts';
import type { MinMaxBuckets } from './min-max.ts';
import { ZOOM_WIDTHS_US } from './zoom-widths.ts';

export interface ZoomLevel {
  readonly widthUs: number;
  /** Where each bucket starts. */
  readonly tUs: Float64Array;
  readonly least: ChunkColumns;
  readonly greatest: ChunkColumns;
}

/** With fewer samples a bucket, a level would take as much room as they do. */
const LEAST_SAMPLES = 32;
/** A level of so few buckets that a wider one would say nothing more quickly. */
const FEW_BUCKETS = 2;
/** Per level in the encoded head: width in s, bytes of the least, bytes of the greatest. */
const HEAD_BYTES = 12;

/** `chunk` must not be empty; `greatest`, of the same times, where what it holds are least and greatest values. */
export function zoomLevels(chunk: SampleChunk, greatest: ChunkColumns = chunk.columns): ZoomLevel[] {
  const levels: ZoomLevel[] = [];
  for (const widthUs of ZOOM_WIDTHS_US) {
    const finer = levels.at(-1);
    if (finer && finer.tUs.length <= FEW_BUCKETS) break;
    if (finer) levels.push(levelOf(widthUs, finer.tUs, finer.least, finer.greatest));
    else {
      const starts = startsOf(chunk.tUs, widthUs).length;
      const isLast = widthUs === ZOOM_WIDTHS_US.at(-1);
      if (chunk.n / starts < LEAST_SAMPLES && starts > FEW_BUCKETS && !isLast) continue;
      levels.push(levelOf(widthUs, chunk.tUs, chunk.columns, greatest));
    }
  }
  return levels;
}

/** Picks the widest level that `buckets` can take whole; none where its samples have to be read. */
export function widestFor(buckets: MinMaxBuckets): PickWidth {
  return widths => widths.findLast(widthUs => buckets.takes(widthUs));
}

/** A level as views read it: for each bucket where it starts and the least and the greatest of each channel. */
export interface LevelRows {
  readonly widthUs: number;
  readonly channels: readonly Channel[];
  /** Row after row: a view over hours reads many levels, and each of them in one piece. */
  readonly rows: Float64Array;
}

export function levelRows({ widthUs, tUs, least, greatest }: ZoomLevel): LevelRows {
  const channels = CHANNEL_NAMES.filter(name => least[name] && greatest[name]);
  const size = 1 + 2 * channels.length;
  const rows = new Float64Array(size * tUs.length);
  tUs.forEach((startUs, i) => {
    rows[size * i] = startUs;
    channels.forEach((name, c) => {
      rows[size * i + 1 + 2 * c] = least[name]![i]!;
      rows[size * i + 2 + 2 * c] = greatest[name]![i]!;
    });
  });
  return { widthUs, channels, rows };
}

/** Every bucket of the level into the one it starts in; `buckets` are cut alike for each channel. */
export function addLevel(
  { widthUs, channels, rows }: LevelRows,
  buckets: ReadonlyMap<Channel, MinMaxBuckets>,
): void {
  const [any] = buckets.values();
  if (!any) return;
  const { fromUs } = any;
  const reduced = channels.map(name => buckets.get(name));
  const size = 1 + 2 * channels.length;
  for (let at = 0; at < rows.length; at += size) {
    const startUs = rows[at]!;
    // One that began before the range reaches into it.
    const bucket = any.bucketOf(startUs < fromUs && startUs + widthUs > fromUs ? fromUs : startUs);
    if (bucket < 0) continue;
    for (let c = 0; c < reduced.length; c++) {
      reduced[c]?.addExtremes(bucket, rows[at + 1 + 2 * c]!, rows[at + 2 + 2 * c]!);
    }
  }
}

/** Lossless for quantised values. */
export function encodeZoom(levels: readonly ZoomLevel[]): Uint8Array {
  const parts = levels.map(({ widthUs, tUs, least, greatest }) => ({
    widthUs,
    least: encodeDense({ n: tUs.length, tUs, lengthUs: null, columns: least }),
    greatest: encodeDense({ n: tUs.length, tUs, lengthUs: null, columns: greatest }),
  }));
  const head = 1 + HEAD_BYTES * parts.length;
  const total = parts.reduce((sum, part) => sum + part.least.length + part.greatest.length, head);
  const bytes = new Uint8Array(total);
  const view = new DataView(bytes.buffer);
  bytes[0] = parts.length;
  let at = head;
  parts.forEach(({ widthUs, least, greatest }, i) => {
    view.setUint32(1 + HEAD_BYTES * i, widthUs / 1e6);
    view.setUint32(5 + HEAD_BYTES * i, least.length);
    view.setUint32(9 + HEAD_BYTES * i, greatest.length);
    bytes.set(least, at);
    bytes.set(greatest, at + least.length);
    at += least.length + greatest.length;
  });
  return bytes;
}

/** Of the widths that are there, finest first, the one that is wanted. */
export type PickWidth = (widthsUs: readonly number[]) => number | undefined;

/** The level picked by its width; null where none is. Throws RangeError on bytes that encodeZoom did not write. */
export function decodeZoom(bytes: Uint8Array, pick: PickWidth): ZoomLevel | null {
  const count = bytes[0] ?? 0;
  const head = 1 + HEAD_BYTES * count;
  if (bytes.length < head) throw new RangeError('zoom levels end too early');
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const word = (i: number, n: number): number => view.getUint32(1 + HEAD_BYTES * i + 4 * n);
  const widths = Array.from({ length: count }, (_, i) => word(i, 0) * 1e6);
  const picked = pick(widths);
  if (picked === undefined) return null;
  const wanted = widths.indexOf(picked);
  let at = head;
  for (let i = 0; i < wanted; i++) at += word(i, 1) + word(i, 2);
  const middle = at + word(wanted, 1);
  const end = middle + word(wanted, 2);
  if (end > bytes.length) throw new RangeError('zoom levels end too early');
  const least = decodeDense(bytes.subarray(at, middle));
  const greatest = decodeDense(bytes.subarray(middle, end));
  return { widthUs: picked, tUs: least.tUs, least: least.columns, greatest: greatest.columns };
}

/** Index of the first sample of each bucket. */
function startsOf(tUs: Float64Array, widthUs: number): number[] {
  const starts: number[] = [];
  let bucket = Number.NaN;
  for (let i = 0; i < tUs.length; i++) {
    const own = Math.floor(tUs[i]! / widthUs);
    if (own === bucket) continue;
    starts.push(i);
    bucket = own;
  }
  return starts;
}

function levelOf(widthUs: number, tUs: Float64Array, low: ChunkColumns, high: ChunkColumns): ZoomLevel {
  const starts = startsOf(tUs, widthUs);
  const least: { [K in Channel]?: Float64Array } = {};
  const greatest: { [K in Channel]?: Float64Array } = {};
  for (const name of CHANNEL_NAMES) {
    const [lows, highs] = [low[name], high[name]];
    if (!lows || !highs) continue;
    least[name] = Float64Array.from(starts, (from, i) =>
      extreme(lows, from, starts[i + 1] ?? tUs.length, -1),
    );
    greatest[name] = Float64Array.from(starts, (from, i) =>
      extreme(highs, from, starts[i + 1] ?? tUs.length, 1),
    );
  }
  return {
    widthUs,
    tUs: Float64Array.from(starts, from => Math.floor(tUs[from]! / widthUs) * widthUs),
    least,
    greatest,
  };
}

/** Of the known values from `from` up to `to` the least (sign −1) or the greatest (1); NaN where none is known. */
function extreme(values: Float64Array, from: number, to: number, sign: 1 | -1): number {
  let found = Number.NaN;
  for (let i = from; i < to; i++) {
    const value = values[i]!;
    if (Number.isNaN(value)) continue;
    if (Number.isNaN(found) || sign * value > sign * found) found = value;
  }
  return found;
}
