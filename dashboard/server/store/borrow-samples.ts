/** For who reads a store without waiting: its samples that were let go, read first where they still are. */
import type { PassMessage } from '#core/messages/pass';
import type { SampleChunk } from '#core/sample/chunk';
import type { KnownSamples } from '../api/sample-reader.ts';
import { keyOf, type SampleSource } from './sample-source.ts';
import type { ChunkRow } from './store.ts';

/** The other place does not answer; the message is a sentence for people. */
export class SamplesAwayError extends Error {}

/** Gas before and after the arc, and the arc's own start and stop, are shown with a pass. */
const LEAD_US = 10_000_000;

/**
 * The store as if it had kept the samples of these passes, as far as `source` has them; itself where it kept them all.
 * Throws SamplesAwayError where that place cannot be asked.
 */
export async function borrowSamples<S extends KnownSamples>(
  store: S,
  source: SampleSource | null,
  passes: readonly PassMessage[],
): Promise<S> {
  if (!source) return store;
  const borrowed = new Map<string, SampleChunk>();
  for (const { site, rig, stream, startUs, endUs } of passes) {
    const range = {
      kind: 'record',
      fromUs: Math.max(0, startUs - LEAD_US),
      toUs: endUs + LEAD_US,
      stream,
    } as const;
    const chunks = store.sampleSpan({ site, rig }, range)?.chunks ?? [];
    const gone = chunks.filter(chunk => chunk.kind === 'summary' && !borrowed.has(keyOf(chunk)));
    if (gone.length === 0) continue;
    const { samples, reached, note } = await source.read({ site, rig }, stream, gone);
    if (!reached) throw new SamplesAwayError(note ?? 'Samples cannot be read now.');
    for (const [key, chunk] of samples) borrowed.set(key, chunk);
  }
  if (borrowed.size === 0) return store;
  const asKept = (chunk: ChunkRow): ChunkRow =>
    chunk.kind === 'summary' && borrowed.has(keyOf(chunk)) ? { ...chunk, kind: 'stretch' } : chunk;
  const overlay: KnownSamples = {
    sampleSpan: (address, range) => {
      const span = store.sampleSpan(address, range);
      return span && { ...span, chunks: span.chunks.map(asKept) };
    },
    newestSample: address => store.newestSample(address),
    chunkSamples: chunk => borrowed.get(keyOf(chunk)) ?? store.chunkSamples(chunk),
    allSamples: chunks => store.allSamples(chunks).map((read, i) => borrowed.get(keyOf(chunks[i]!)) ?? read),
    chunkZoom: (chunk, pick) => store.chunkZoom(chunk, pick),
  };
  return Object.assign(Object.create(store) as S, overlay);
}
