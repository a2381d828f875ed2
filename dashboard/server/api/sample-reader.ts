/**
 * Stored samples → a reduced answer. What lies in one bucket is told by its extremes, a stretch that lies in the range by
 * its summaries where buckets are wide enough; the samples of the others are read.
 */
import type { Samples } from '#core/messages/api';
import { CHANNEL_NAMES, CHANNELS, type Channel } from '#core/sample/channels';
import { gapsIn } from '#core/series/coverage';
import { MinMaxBuckets } from '#core/series/min-max';
import { addLevel, widestFor } from '#core/series/zoom-levels';
import type { RigAddress } from '#core/topics/topics';
import type { ChunkRow, DashboardStore, SampleRange } from '../store/store.ts';

export interface Reduction {
  readonly points: number;
  readonly channels?: readonly Channel[] | undefined;
}

export function readSamples(
  store: DashboardStore,
  address: RigAddress,
  range: SampleRange,
  { points, channels }: Reduction,
): Samples {
  const { site, rig } = address;
  const span = store.sampleSpan(address, range);
  if (!span) return nothingStored(store, address, range);
  const { fromUs, toUs, stream, utcMinusRecordMs, chunks } = span;
  const inside = chunks.filter(chunk => chunk.lastUs >= fromUs && chunk.firstUs <= toUs);
  const wanted = CHANNEL_NAMES.filter(
    name => (channels?.includes(name) ?? true) && inside.some(chunk => Object.hasOwn(chunk.extremes, name)),
  );
  const buckets = new Map(wanted.map(name => [name, MinMaxBuckets.onGrid(fromUs, toUs, points)]));
  for (const chunk of inside) addChunk(store, chunk, buckets);
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
  };
}

/** A gap where later samples are stored; unknown, not a gap, where nothing later has come yet. */
function nothingStored(store: DashboardStore, address: RigAddress, range: SampleRange): Samples {
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

function addChunk(
  store: DashboardStore,
  chunk: ChunkRow,
  buckets: ReadonlyMap<Channel, MinMaxBuckets>,
): void {
  const [any] = buckets.values();
  if (!any) return;
  const bucket = any.bucketOf(chunk.firstUs);
  if (bucket >= 0 && bucket === any.bucketOf(chunk.lastUs)) {
    for (const [channel, reduced] of buckets) {
      const extremes = chunk.extremes[channel];
      if (extremes) reduced.addExtremes(bucket, extremes[0], extremes[1]);
    }
    return;
  }
  if (chunk.kind !== 'batch' && addZoom(store, chunk, buckets, any)) return;
  const decoded = store.chunkSamples(chunk);
  if (!decoded) return;
  if (chunk.reduced) {
    for (const [channel, reduced] of buckets) {
      chunk.reduced[channel]?.forEach((pair, i) => {
        const at = any.bucketOf(decoded.tUs[i] ?? -1);
        if (pair && at >= 0) reduced.addExtremes(at, pair[0], pair[1]);
      });
    }
    return;
  }
  for (const [channel, reduced] of buckets) {
    const column = decoded.columns[channel];
    if (column) reduced.addSamples(decoded.tUs, column);
  }
}

/** False where the samples have to be read: they are here, and no summary would be exact. */
function addZoom(
  store: DashboardStore,
  chunk: ChunkRow,
  buckets: ReadonlyMap<Channel, MinMaxBuckets>,
  any: MinMaxBuckets,
): boolean {
  const isInside = chunk.firstUs >= any.fromUs && chunk.lastUs <= any.toUs;
  const exact = isInside && any.isOnGrid ? store.chunkZoom(chunk, widestFor(any)) : null;
  if (!exact && chunk.kind !== 'summary') return false;
  // Of samples that were let go the finest summary is what is known.
  const level = exact ?? store.chunkZoom(chunk, ([finest]) => finest);
  if (level) for (const [channel, reduced] of buckets) addLevel(level, channel, reduced);
  return true;
}
