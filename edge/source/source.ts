import type { SourceAnnouncement } from '#core/frame/frame-decoder';
import type { SourceState } from '#core/messages/live';
import type { SampleChunk } from '#core/sample/chunk';
import type { LinkProblemCode } from './link-problem.ts';

export interface SourceStateReport {
  readonly state: SourceState;
  /** Record time since when it is so, µs. */
  readonly sinceUs: number;
  /** One sentence for a person, null when all is well. */
  readonly detail: string | null;
  /** Why it is absent, or why a file could not be read to its end. */
  readonly problem: LinkProblemCode | null;
}

export type RestartCause =
  /** The device counted a new start. */
  | 'bootChanged'
  /** Its frame counter and its time fell back together. */
  | 'jumpedBack'
  /** No restart seen, but its time and the arrivals differ absurdly: placed anew. */
  | 'reanchored';

export interface SourceHandlers {
  /** Samples in record time after all earlier ones. A returned promise holds a file back until it settles. */
  readonly onChunk: (chunk: SampleChunk) => void | Promise<void>;
  readonly onState: (report: SourceStateReport) => void;
  readonly onAnnounce?: (announcement: SourceAnnouncement) => void;
  /** Device time began anew: the samples that follow are a new piece, not a long interval. */
  readonly onRestart?: (cause: RestartCause, atUs: number) => void;
  /** Device time runs faster than the record clock and is ahead of it by so much: told at 2 s and whenever that has doubled. */
  readonly onAhead?: (aheadUs: number, atUs: number) => void;
  /** Frames the device's counter says are missing, as they are noticed. */
  readonly onFramesLost?: (count: number, atUs: number) => void;
  /** The bytes as they came, before decoding. */
  readonly onBytes?: (bytes: Uint8Array, arrivalUs: number) => void;
}

/** A device or a recording. Nothing happens before start(). */
export interface Source {
  start(): void;
  /** Resolves when the device is let go; no handler is called after that. */
  stop(): Promise<void>;
  /**
   * Call it ten times a second or so. A device that gives times of its own is then read once between two calls, and
   * what it has sent is handed on before the next `setImmediate`. Absent: everything is read as it comes.
   */
  collect?(): void;
  /** Named counts since it was made: frames, samples and every kind of discard. */
  counters(): Record<string, number>;
}
