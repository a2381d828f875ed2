/**
 * Stored samples → a reduced answer. What lies in one bucket is told by its extremes, a stretch that lies in the range by
 * its summaries where buckets are wide enough; the samples of the others are read.
 */
import type { Samples } from '#core/messages/api';
import { CHANNEL_NAMES, CHANNELS, type Channel } from '#core/sample/channels';
import { type Gap, gapsIn } from '#core/series/coverage';
import { MinMaxBuckets } from '#core/series/min-max';
import { addLevel, type LevelRows, type PickWidth, widestFor } from '#core/series/zoom-levels';
import type { RigAddress } from '#core/topics/topics';
import type { Reduction } from '../store/sample-store.ts';
import type { ChunkRow, DashboardStore, SampleRange } from '../store/store.ts';

/** What is known of stored samples, and they themselves. */
export type KnownSamples = Pick<
  DashboardStore,
  'sampleSpan' | 'newestSample' | 'chunkSamples' | 'allSamples' | 'chunkZoom'
>;

export function readSamples(
  store: KnownSamples,
  address: RigAddress,
  range: SampleRange,
  { points, channels }: Reduction,
): Samples {
  const { site, rig } = address;
  const span = store.sampleSpan(address, range);
  if (!span) return nothingStored(store, address, range);
  const { fromUs, toUs, stream, utcMinusRecordMs, chunks } = span;
  const inside = chunks.filter(chunk => chunk.lastUs >= fromUs && chunk.firstUs <= toUs);
  const recorded = new Set<string>();
  for (const { extremes } of inside) for (const name in extremes) recorded.add(name);
  const wanted = CHANNEL_NAMES.filter(name => (channels?.includes(name) ?? true) && recorded.has(name));
  const buckets = new Map(wanted.map(name => [name, MinMaxBuckets.onGrid(fromUs, toUs, points)]));
  const summarised: Gap[] = [];
  const [any] = buckets.values();
  const widest = any?.isOnGrid ? widestFor(any) : null;
  for (const chunk of inside) {
    if (addChunk(store, chunk, buckets, widest)) continue;
    summarised.push({ fromUs: Math.max(fromUs, chunk.firstUs), toUs: Math.min(toUs, chunk.lastUs) });
  }
  return {
    site,
    rig,
    stream,
    utcMinusRecordMs,
    fromUs,
    toUs,
    series: [...buckets].map(([channel, reduced]) => ({
      channel,
      unit: CHANNELS[channel].unit,
      ...reduced.finish(),
    })),
    gaps: gapsIn(chunks, fromUs, toUs),
    ...(summarised.length === 0 ? {} : { summarised }),
  };
}

/** A gap where later samples are stored; unknown, not a gap, where nothing later has come yet. */
function nothingStored(store: KnownSamples, address: RigAddress, range: SampleRange): Samples {
  const { site, rig } = address;
  const newest = store.newestSample(address);
  const isRecord = range.kind === 'record';
  const fromUs = isRecord ? range.fromUs : range.fromMs * 1000;
  const toUs = isRecord ? range.toUs : range.toMs * 1000;
  const past = newest !== null && (isRecord ? toUs <= newest.lastUs : range.toMs <= newest.lastUtcMs);
  return {
    site,
    rig,
    stream: null,
    utcMinusRecordMs: null,
    fromUs,
    toUs,
    series: [],
    gaps: past ? [{ fromUs, toUs }] : [],
  };
}

/** False where its samples are not to be had: then it is shown by the finest of its summaries. */
function addChunk(
  store: KnownSamples,
  chunk: ChunkRow,
  buckets: ReadonlyMap<Channel, MinMaxBuckets>,
  widest: PickWidth | null,
): boolean {
  const [any] = buckets.values();
  if (!any) return true;
  const bucket = any.bucketOf(chunk.firstUs);
  if (bucket >= 0 && bucket === any.bucketOf(chunk.lastUs)) {
    for (const [channel, reduced] of buckets) {
      const extremes = chunk.extremes[channel];
      if (extremes) reduced.addExtremes(bucket, extremes[0], extremes[1]);
    }
    return true;
  }
  const isInside = chunk.firstUs >= any.fromUs && chunk.lastUs <= any.toUs;
  if (isInside && widest && addZoom(store.chunkZoom(chunk, widest), buckets)) return true;
  const decoded = store.chunkSamples(chunk);
  if (!decoded) {
    addZoom(
      store.chunkZoom(chunk, ([finest]) => finest),
      buckets,
    );
    return false;
  }
  if (chunk.reduced) {
    for (const [channel, reduced] of buckets) {
      chunk.reduced[channel]?.forEach((pair, i) => {
        const at = any.bucketOf(decoded.tUs[i] ?? -1);
        if (pair && at >= 0) reduced.addExtremes(at, pair[0], pair[1]);
      });
    }
    return true;
  }
  for (const [channel, reduced] of buckets) {
    const column = decoded.columns[channel];
    if (column) reduced.addSamples(decoded.tUs, column);
  }
  return true;
}

function addZoom(level: LevelRows | null, buckets: ReadonlyMap<Channel, MinMaxBuckets>): boolean {
  if (!level) return false;
  addLevel(level, buckets);
  return true;
}
