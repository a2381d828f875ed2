/** The sample store over this dashboard's own: what it knows of a range, and samples from where `source` takes them. */
import type { Samples } from '#core/messages/api';
import type { PassMessage } from '#core/messages/pass';
import { concatChunks, rejoinSlices, sliceByTime } from '#core/sample/chunk';
import { type Gap, gapsIn } from '#core/series/coverage';
import type { RigAddress } from '#core/topics/topics';
import { type KnownSamples, readSamples } from '../api/sample-reader.ts';
import { borrowSamples } from './borrow-samples.ts';
import { keyOf, localSource, type SampleSource } from './sample-source.ts';
import type { RawSamples, Reduction, SampleStore } from './sample-store.ts';
import type { ChunkRow, NewestSample, SampleRange, SampleSpan } from './store.ts';

export class StoredSamples implements SampleStore {
  private readonly store: KnownSamples;
  private readonly elsewhere: () => SampleSource | null;
  private readonly local: SampleSource;

  /** `elsewhere`: where samples are taken from while there is such a place, else from the store. */
  constructor(store: KnownSamples, elsewhere: () => SampleSource | null = () => null) {
    this.store = store;
    this.elsewhere = elsewhere;
    this.local = localSource(store);
  }

  newest(address: RigAddress): Promise<NewestSample | null> {
    return Promise.resolve(this.store.newestSample(address));
  }

  span(address: RigAddress, range: SampleRange): Promise<SampleSpan | null> {
    return Promise.resolve(this.store.sampleSpan(address, range));
  }

  async overview(address: RigAddress, range: SampleRange, reduction: Reduction): Promise<Samples> {
    // What a range is known by may change between two looks at it.
    const span = this.store.sampleSpan(address, range);
    const wanted: ChunkRow[] = [];
    const look = (chunkSamples: KnownSamples['chunkSamples']): Samples =>
      readSamples({ ...this.known(), sampleSpan: () => span, chunkSamples }, address, range, reduction);
    const known = look(chunk => {
      wanted.push(chunk as ChunkRow);
      return null;
    });
    if (!span || wanted.length === 0) return known;
    const { samples, readFrom, note } = await (this.elsewhere() ?? this.local).read(
      address,
      span.stream,
      wanted,
    );
    const answer = look(chunk => samples.get(keyOf(chunk)) ?? null);
    return { ...answer, readFrom, ...(note === null ? {} : { note }) };
  }

  borrow<S extends KnownSamples>(store: S, passes: readonly PassMessage[]): Promise<S> {
    return borrowSamples(store, this.elsewhere(), passes);
  }

  async raw(address: RigAddress, range: SampleRange): Promise<RawSamples | null> {
    const span = this.store.sampleSpan(address, range);
    if (!span) return null;
    const { stream, fromUs, toUs, chunks } = span;
    const inside = chunks.filter(({ firstUs, lastUs }) => lastUs >= fromUs && firstUs <= toUs);
    const { samples, readFrom, note } = await (this.elsewhere() ?? this.local).read(address, stream, inside);
    const read = inside.flatMap(chunk => samples.get(keyOf(chunk)) ?? []);
    const parts = read.map(chunk => sliceByTime(chunk, fromUs, toUs)).filter(({ n }) => n > 0);
    return {
      stream,
      chunk: rejoinSlices(parts) ?? concatChunks(parts),
      readFrom,
      gaps: gapsIn(chunks, fromUs, toUs),
      summarised: rangesOf(
        inside.filter(chunk => !samples.has(keyOf(chunk))),
        fromUs,
        toUs,
      ),
      note,
    };
  }

  private known(): KnownSamples {
    const { store } = this;
    return {
      sampleSpan: (address, range) => store.sampleSpan(address, range),
      newestSample: address => store.newestSample(address),
      chunkSamples: chunk => store.chunkSamples(chunk),
      allSamples: chunks => store.allSamples(chunks),
      chunkZoom: (chunk, pick) => store.chunkZoom(chunk, pick),
    };
  }
}

/** Stretches of time of these chunks inside the range, those next to each other as one. */
export function rangesOf(chunks: readonly ChunkRow[], fromUs: number, toUs: number): Gap[] {
  return chunks.map(({ firstUs, lastUs }) => ({
    fromUs: Math.max(fromUs, firstUs),
    toUs: Math.min(toUs, lastUs),
  }));
}
