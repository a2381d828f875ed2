import type { Channel } from '../sample/channels.ts';
import type { SampleChunk } from '../sample/chunk.ts';
import type { FrameCounters } from './frame-counters.ts';

export const FRAME_FORMATS = ['text', 'binary', 'delimited', 'modbus'] as const;
export type FrameFormat = (typeof FRAME_FORMATS)[number];

/** What a stream is made of, as the rest of the edge sees it: our units, our names. */
export interface SourceAnnouncement {
  readonly format: FrameFormat;
  /** Null where the device does not count its starts (text and binary: 0). */
  readonly boot: number | null;
  /** Null where nobody said. */
  readonly samplePeriodUs: number | null;
  /** The device says of itself that what it sends is simulated; null where its format cannot say. */
  readonly simulated: boolean | null;
  readonly channels: readonly AnnouncedChannel[];
}

export interface AnnouncedChannel {
  readonly channel: Channel;
  /** The unit values are in, that of channels.ts. */
  readonly unit: string;
  /** Smallest step of the values in `unit`. */
  readonly resolution: number;
}

/**
 * In order of arrival. `tUs` of a chunk is device time, unwrapped from the start of this connection and
 * device run (`ownTime` true), or already record time where the device gives none.
 * After `restart` device time begins anew.
 */
export type DecoderOutput =
  | { readonly kind: 'samples'; readonly chunk: SampleChunk }
  | { readonly kind: 'announce'; readonly announcement: SourceAnnouncement }
  | { readonly kind: 'restart'; readonly cause: 'bootChanged' | 'jumpedBack' };

/** Bytes in any pieces → outputs and counted discards. Never throws, whatever the bytes. */
export interface FrameDecoder {
  readonly counters: FrameCounters;
  /** False: the chunks' times are record times made from arrivals, not to be mapped again. */
  readonly ownTime: boolean;
  /** `arrivalUs`: record time at which `bytes` were read. */
  push(bytes: Uint8Array, arrivalUs: number): DecoderOutput[];
  /** The input ends here: a last frame without its delimiter is read as if it had one. */
  finish(): DecoderOutput[];
  /** A new connection: half a frame of the old one is dropped, counts and the last announcement stay. */
  reset(): void;
}
