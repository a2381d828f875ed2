import type { Reduction } from '#core/messages/record';

/** One batch as it waits for the store: `body` is the exact JSON text that is hashed, kept and sent. */
export interface PendingBatch {
  readonly body: string;
  /** Record time when the batch was closed, µs: nothing in it is later. */
  readonly closedUs: number;
  /** UTC when it was closed, ms, as the clock map knew it. */
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
  /** Where its samples gave way: `hash` is that of the whole batch, `body` what is left. */
  readonly reduced: Reduction | null;
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

/** What became of an acknowledgement; only `accepted` and `rewound` move a cursor. */
export type AckVerdict =
  | 'accepted'
  /** The store has lost what it had: its cursor goes back to what it names, and the rest is sent again. */
  | 'rewound'
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
  /** The store with its log and its ballast. */
  readonly bytes: number;
  /** Of the file system; null where it does not say. */
  readonly freeBytes: number | null;
  /** What may still be written before anything undelivered has to give way. */
  readonly availableBytes: number | null;
  /** `availableBytes` of an empty store. */
  readonly capacityBytes: number | null;
  /** `availableBytes` at the rate measured; null until there is one. */
  readonly daysLeft: number | null;
  /** When the oldest batch that is whole was closed, record time; null where none is. */
  readonly oldestWholeUs: number | null;
  readonly thinned: number;
  readonly pruned: number;
  /** Thinned batches wait for a store: what it gets of them is not whole. */
  readonly thinnedWaiting: boolean;
  readonly ballast: 'ready' | 'released';
}

/** Batches that gave way in one transaction. */
export interface ReducedRange {
  readonly to: Reduction['to'];
  readonly fromSeq: number;
  readonly toSeq: number;
  readonly batches: number;
  /** SHA-256 over the hashes of the bodies that are left, in order. */
  readonly digest: string;
}

/** What was done for room, and whether there is more to do at once. */
export interface RoomMade {
  readonly reduced: readonly ReducedRange[];
  readonly more: boolean;
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
