/**
 * Reading samples: one contract, whatever keeps them. What is known of a range (its extremes, summaries and gaps) is
 * always this store's own; the samples themselves come from where the implementation takes them, and the answer says so.
 * What cannot be read is said to be, with the reason; it is never a gap and never silently nothing.
 */
import type { Samples } from '#core/messages/api';
import type { PassMessage } from '#core/messages/pass';
import type { Channel } from '#core/sample/channels';
import type { SampleChunk } from '#core/sample/chunk';
import type { Gap } from '#core/series/coverage';
import type { RigAddress } from '#core/topics/topics';
import type { KnownSamples } from '../api/sample-reader.ts';
import type { NewestSample, SampleRange, SampleSpan } from './store.ts';

export interface Reduction {
  readonly points: number;
  readonly channels?: readonly Channel[] | undefined;
}

/** Where samples were read: here, in InfluxDB, or some here and some there. */
export type ReadFrom = 'store' | 'influx' | 'both';

export interface RawSamples {
  readonly stream: string;
  /** In time order, none outside the range; a channel that only some of them have is NaN elsewhere. */
  readonly chunk: SampleChunk;
  readonly readFrom: ReadFrom;
  /** Where nothing was recorded. */
  readonly gaps: readonly Gap[];
  /** Recorded, and not to be read now: let go, with summaries left. */
  readonly summarised: readonly Gap[];
  /** One sentence where something was read elsewhere than meant, or could not be; null where all is well. */
  readonly note: string | null;
}

export interface SampleStore {
  /** The last sample of a rig's newest stream; null where there is none. */
  newest(address: RigAddress): Promise<NewestSample | null>;
  /** What is stored of a range; null where nothing is. */
  span(address: RigAddress, range: SampleRange): Promise<SampleSpan | null>;
  /** Per bucket of time the least and the greatest value, and the gaps. */
  overview(address: RigAddress, range: SampleRange, reduction: Reduction): Promise<Samples>;
  /** `store` as if it had kept the samples of these passes, for who reads it without waiting (borrow-samples.ts). */
  borrow<S extends KnownSamples>(store: S, passes: readonly PassMessage[]): Promise<S>;
  /** Every sample of a range, exactly as it was recorded; null where none is. */
  raw(address: RigAddress, range: SampleRange): Promise<RawSamples | null>;
}
