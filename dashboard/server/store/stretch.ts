/**
 * A settled stretch: the samples of many records in one dense run, their summaries, and what is left of each record's
 * text. The text that was hashed is put together again byte for byte: what is left of it, and the samples as the edge
 * wrote them, which the codec writes the same each time. A record of which that is not so is not taken into one.
 */
import { brotliCompressSync, brotliDecompressSync, constants } from 'node:zlib';
import { toBase64 } from '#core/sample/base64';
import { CHANNEL_NAMES, type Channel } from '#core/sample/channels';
import { type ChunkColumns, concatChunks, type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { encodeChunk } from '#core/sample/codec';
import { decodeDense, encodeDense } from '#core/sample/dense-codec';
import { type Coverage, coverageOf, gapsIn } from '#core/series/coverage';
import { extremesOf } from '#core/series/min-max';
import { encodeZoom, zoomLevels } from '#core/series/zoom-levels';

/** One record that may go into a stretch. */
export interface SettlingRecord {
  readonly seq: number;
  readonly body: string;
  readonly chunk: SampleChunk;
  readonly coverage: Coverage;
  readonly utcMinusRecordMs: number;
}

/** What is known of a stretch without its samples, and stays when they go. */
export interface StretchSummary {
  readonly n: number;
  readonly firstUs: number;
  readonly lastUs: number;
  readonly periodUs: number | null;
  readonly gaps: Coverage['gaps'];
  /** How record time reads on the wall clock, from each of these on: [record time µs, utc − record time ms]. */
  readonly wall: readonly (readonly [number, number])[];
  readonly extremes: Readonly<Record<string, readonly [number, number] | null>>;
  readonly zoom: Uint8Array;
}

export interface PackedStretch extends StretchSummary {
  readonly texts: Uint8Array;
  readonly data: Uint8Array;
  /** Per record what its row keeps of the text: it all but the samples where events, passes or seals are in it. */
  readonly kept: readonly string[];
}

/** What a summary is made of: samples, or means with the least and the greatest of what each stands for. */
export type Summarised = Pick<SettlingRecord, 'chunk' | 'coverage' | 'utcMinusRecordMs'> & {
  readonly greatest?: ChunkColumns;
};

/** Stands in a text for its samples; no text of JSON holds it, for there it is written as an escape. */
const HERE = '\u0001';
const BETWEEN = '\u0002';
/** Nothing but samples: nobody looks for anything in the rest of its text. */
const PLAIN = /"events":\[\],"passes":\[\]\}$/;
const QUALITY = 9;

/** The text of a record without its samples; null where it does not hold them as the codec writes them. */
export function withoutSamples(body: string, chunk: SampleChunk): string | null {
  if (body.includes(HERE) || body.includes(BETWEEN)) return null;
  const text = samplesText(chunk);
  const at = body.indexOf(text);
  return at < 0 ? null : body.slice(0, at) + HERE + body.slice(at + text.length);
}

/** Records in order, of the same channels, times going on from each to the next; null where one does not fit. */
export function packStretch(records: readonly SettlingRecord[]): PackedStretch | null {
  const rests: string[] = [];
  for (const { body, chunk } of records) {
    const rest = withoutSamples(body, chunk);
    if (rest === null) return null;
    rests.push(rest);
  }
  const whole = concatChunks(records.map(({ chunk }) => chunk));
  const kept = rests.map(rest => (PLAIN.test(rest) ? '' : rest));
  const head = JSON.stringify(records.map(({ seq, chunk }) => [seq, chunk.n]));
  const texts = [head, ...rests.map((rest, i) => (kept[i] === '' ? rest : ''))].join(BETWEEN);
  return {
    ...summaryOf(records),
    texts: brotliCompressSync(Buffer.from(texts, 'utf8'), {
      params: {
        [constants.BROTLI_PARAM_MODE]: constants.BROTLI_MODE_TEXT,
        [constants.BROTLI_PARAM_QUALITY]: QUALITY,
        [constants.BROTLI_PARAM_SIZE_HINT]: texts.length,
      },
    }),
    data: encodeDense(whole),
    kept,
  };
}

/** `records` in order of time, at least one. */
export function summaryOf(records: readonly Summarised[]): StretchSummary {
  const whole = concatChunks(records.map(({ chunk }) => chunk));
  const high = concatChunks(
    records.map(({ chunk, greatest }) => ({ ...chunk, columns: greatest ?? chunk.columns })),
  );
  const firstUs = whole.tUs[0]!;
  const lastUs = records.at(-1)!.coverage.lastUs;
  return {
    n: whole.n,
    firstUs,
    lastUs,
    periodUs: coverageOf(whole).periodUs,
    gaps: gapsIn(
      records.map(({ coverage }) => coverage),
      firstUs,
      lastUs,
    ),
    wall: records
      .filter(({ utcMinusRecordMs }, i) => utcMinusRecordMs !== records[i - 1]?.utcMinusRecordMs)
      .map(({ coverage, utcMinusRecordMs }) => [coverage.firstUs, utcMinusRecordMs]),
    extremes: Object.fromEntries(
      Object.entries(whole.columns).map(([channel, column]) => {
        const low = extremesOf(column);
        const top = extremesOf(high.columns[channel as Channel] ?? column);
        return [channel, low && top && ([low.min, top.max] as const)];
      }),
    ),
    zoom: encodeZoom(zoomLevels(whole, high.columns)),
  };
}

/** The records of a stretch: their samples, and the rest of their texts where it lies in the stretch. */
export class UnpackedStretch {
  private readonly whole: SampleChunk;
  private readonly places = new Map<number, { from: number; to: number; rest: string }>();

  /** Throws RangeError or an error of zlib on bytes that packStretch did not write. */
  constructor({ texts, data }: Pick<PackedStretch, 'texts' | 'data'>) {
    this.whole = decodeDense(data);
    const [head = '', ...rests] = brotliDecompressSync(texts).toString('utf8').split(BETWEEN);
    let from = 0;
    (JSON.parse(head) as [number, number][]).forEach(([seq, n], i) => {
      this.places.set(seq, { from, to: from + n, rest: rests[i] ?? '' });
      from += n;
    });
    if (from !== this.whole.n) throw new RangeError('a stretch holds other samples than its records');
  }

  get seqs(): number[] {
    return [...this.places.keys()];
  }

  chunk(seq: number): SampleChunk | null {
    const place = this.places.get(seq);
    return place ? sliceChunk(this.whole, place.from, place.to) : null;
  }

  /** The text that was hashed; `kept` is what its row has of it. Null where the stretch has no such record. */
  text(seq: number, kept: string): string | null {
    const place = this.places.get(seq);
    if (!place) return null;
    const [before, after, ...more] = (kept === '' ? place.rest : kept).split(HERE);
    if (before === undefined || after === undefined || more.length > 0) return null;
    return before + samplesText(sliceChunk(this.whole, place.from, place.to)) + after;
  }
}

/** As an edge writes the samples of a record into its body. */
function samplesText(chunk: SampleChunk): string {
  const channels: Channel[] = CHANNEL_NAMES.filter(name => chunk.columns[name]);
  const data = toBase64(encodeChunk(chunk));
  return JSON.stringify({
    n: chunk.n,
    firstUs: chunk.tUs[0],
    lastUs: chunk.tUs[chunk.n - 1],
    channels,
    data,
  });
}
