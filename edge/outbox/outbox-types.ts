/** One batch as it waits for the store: `body` is the exact JSON text that is hashed, kept and sent. */
export interface PendingBatch {
  readonly body: string;
  /** Record time when the batch was closed, µs: nothing in it is later. */
  readonly closedUs: number;
  /** UTC of the same moment, ms, as the clock map knew it. */
  readonly closedUtcMs: number;
  /** State to resume from that holds once this batch is committed; null deletes the key. */
  readonly state: StatePatch;
}

export type StatePatch = Readonly<Record<string, string | null>>;

/** One committed batch. */
export interface StoredBatch {
  readonly seq: number;
  readonly prev: string;
  readonly hash: string;
  readonly body: string;
  readonly closedUs: number;
}

export interface Cursor {
  readonly upto: number;
  readonly head: string;
}

export interface AckClaim {
  readonly store: string;
  readonly stream: string;
  readonly upto: number;
  readonly head: string;
}

/** What became of an acknowledgement; only `accepted` moves a cursor. */
export type AckVerdict =
  | 'accepted'
  | 'repeated'
  | 'unlisted'
  | 'wrongStream'
  | 'stale'
  | 'future'
  | 'wrongHead';

export interface Quarantine {
  /** Where the damaged file is now. */
  readonly movedTo: string;
  readonly reason: string;
}

export interface OpenedStore {
  readonly stream: string;
  readonly committedSeq: number;
  readonly head: string;
  readonly lastRecordUs: number | null;
  readonly lastUtcMs: number | null;
  readonly state: Readonly<Record<string, string>>;
  readonly cursors: Readonly<Record<string, Cursor>>;
  readonly quarantine: Quarantine | null;
  /** True when the file could be read by others and was closed to them. */
  readonly modeFixed: boolean;
}

export interface AppendResult {
  readonly firstSeq: number;
  readonly lastSeq: number;
  readonly head: string;
  /** How long the transaction took, sync included, ms. */
  readonly tookMs: number;
}

export interface StoreStats {
  readonly bytes: number;
  readonly freeBytes: number | null;
}

/** Why a store call failed, and what to do: the retry decision travels with the error. */
export type StoreErrorKind =
  /** The disk is full: nothing was written, try again. */
  | 'full'
  /** Another program holds the store, or it cannot be created here: say so and end. */
  | 'unavailable'
  /** The medium or the file failed: stop using the handle and end with 75. */
  | 'failed';

export class StoreError extends Error {
  readonly kind: StoreErrorKind;

  constructor(kind: StoreErrorKind, message: string) {
    super(message);
    this.name = 'StoreError';
    this.kind = kind;
  }
}
