/**
 * A batch without its raw samples: what an edge keeps when its disk is full. Events and passes stay as they are.
 *
 * Thinned samples are means over intervals of at most 1 s (`lengthUs` is the interval), beside them the least and
 * greatest reading. A length that counts up keeps its value at the start; a number that names something (program,
 * status) is kept where it did not change, else unknown.
 */
import type { EncodedChunkMessage, RecordBody } from '../messages/record.ts';
import { fromBase64, toBase64 } from '../sample/base64.ts';
import { CHANNEL_NAMES, CHANNELS, type Channel } from '../sample/channels.ts';
import type { SampleChunk } from '../sample/chunk.ts';
import { decodeChunk, encodeChunk, quantise } from '../sample/codec.ts';

const SECOND_US = 1_000_000;
/** An interval longer than this is a gap whatever the sample period: no mean reaches over it (docs/engine.md). */
const BREAK_US = 250_000;
const NAMES: readonly Channel[] = ['program', 'status'];

type Extremes = NonNullable<RecordBody['reduced']>['extremes'];

export interface ThinnedSamples {
  readonly chunk: SampleChunk;
  readonly extremes: Extremes;
}

/** The body with its samples thinned to ≤ 1 s; null where it has none, or has been reduced before. */
export function thinRecord(body: RecordBody): RecordBody | null {
  if (!body.samples || body.reduced) return null;
  const { chunk, extremes } = thinSamples(decodeChunk(fromBase64(body.samples.data)));
  const { n, lastUs } = body.samples;
  return { ...body, samples: encoded(chunk), reduced: { n, lastUs, extremes } };
}

/** The body without samples, thinned ones included; null where there are none. */
export function pruneRecord(body: RecordBody): RecordBody | null {
  if (!body.samples) return null;
  const { n, lastUs } = body.reduced ?? body.samples;
  return { ...body, samples: null, reduced: { n, lastUs, extremes: {} } };
}

/** Nothing is left in it that anyone could want to read: no sample, event, pass or seal. */
export function isEmptied({ samples, events, passes, seals = [], clockMap = [] }: RecordBody): boolean {
  return samples === null && events.length + passes.length + seals.length + clockMap.length === 0;
}

/** `chunk` must not be empty. */
export function thinSamples(chunk: SampleChunk): ThinnedSamples {
  const starts = startsOf(chunk);
  const ends = [...starts.slice(1), chunk.n];
  const columns: { [K in Channel]?: Float64Array } = {};
  const extremes: Extremes = {};
  for (const name of CHANNEL_NAMES) {
    const column = chunk.columns[name];
    if (!column) continue;
    const spans = starts.map((from, i) => spanOf(name, column.subarray(from, ends[i])));
    columns[name] = Float64Array.from(spans, ({ value }) => value);
    extremes[name] = spans.map(({ least, greatest }) => (least <= greatest ? [least, greatest] : null));
  }
  return {
    chunk: {
      n: starts.length,
      tUs: Float64Array.from(starts, from => chunk.tUs[from]!),
      lengthUs: Float64Array.from(starts, (from, i) => endOf(chunk, ends[i]! - 1) - chunk.tUs[from]!),
      columns,
    },
    extremes,
  };
}

/** Index of the first sample of each interval. */
function startsOf({ n, tUs }: SampleChunk): number[] {
  const starts = [0];
  for (let i = 1; i < n; i++) {
    const start = tUs[starts.at(-1)!]!;
    if (tUs[i]! - start >= SECOND_US || tUs[i]! - tUs[i - 1]! > BREAK_US) starts.push(i);
  }
  return starts;
}

/** Until when sample `i` counts: its own interval, else as long as the step beside it, never over a gap. */
function endOf({ n, tUs, lengthUs }: SampleChunk, i: number): number {
  if (lengthUs) return tUs[i]! + lengthUs[i]!;
  const next = i + 1 < n ? tUs[i + 1]! - tUs[i]! : Number.POSITIVE_INFINITY;
  const before = i > 0 ? tUs[i]! - tUs[i - 1]! : Number.POSITIVE_INFINITY;
  const step = Math.min(next, before);
  return tUs[i]! + (step <= BREAK_US ? step : 0);
}

function spanOf(name: Channel, values: Float64Array): { value: number; least: number; greatest: number } {
  let sum = 0;
  let known = 0;
  let least = Number.POSITIVE_INFINITY;
  let greatest = Number.NEGATIVE_INFINITY;
  let first = Number.NaN;
  for (const value of values) {
    if (Number.isNaN(value)) continue;
    if (known === 0) first = value;
    sum += value;
    known += 1;
    least = Math.min(least, value);
    greatest = Math.max(greatest, value);
  }
  let value = Number.NaN;
  if (known > 0) {
    if (CHANNELS[name].cumulative) value = first;
    else if (NAMES.includes(name)) value = least === greatest ? first : Number.NaN;
    else value = quantise(name, sum / known);
  }
  return { value, least, greatest };
}

function encoded(chunk: SampleChunk): EncodedChunkMessage {
  return {
    n: chunk.n,
    firstUs: chunk.tUs[0]!,
    lastUs: chunk.tUs[chunk.n - 1]!,
    channels: CHANNEL_NAMES.filter(name => chunk.columns[name]),
    data: toBase64(encodeChunk(chunk)),
  };
}
