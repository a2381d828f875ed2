/** Where the samples of chunks are taken from: the store itself, or another place. */
import type { SampleChunk } from '#core/sample/chunk';
import type { RigAddress } from '#core/topics/topics';
import type { ReadFrom } from './sample-store.ts';
import type { ChunkRow, DashboardStore } from './store.ts';

export interface ReadChunks {
  /** By `keyOf`; a chunk that could not be read is absent. */
  readonly samples: ReadonlyMap<string, SampleChunk>;
  readonly readFrom: ReadFrom;
  readonly note: string | null;
  /** Whether the place that was meant answered. */
  readonly reached: boolean;
}

/** Where the samples of chunks are taken from. */
export interface SampleSource {
  read(address: RigAddress, stream: string, chunks: readonly ChunkRow[]): Promise<ReadChunks>;
}

export const keyOf = ({ kind, id }: Pick<ChunkRow, 'kind' | 'id'>): string =>
  `${kind === 'batch' ? 'batch' : 'stretch'} ${id}`;

/** Samples of the store itself. */
export function localSource(store: Pick<DashboardStore, 'allSamples'>): SampleSource {
  return {
    read: (_address, _stream, chunks) => {
      const samples = new Map<string, SampleChunk>();
      for (const [i, read] of store.allSamples(chunks).entries()) {
        if (read) samples.set(keyOf(chunks[i]!), read);
      }
      return Promise.resolve({ samples, readFrom: 'store', note: null, reached: true });
    },
  };
}
