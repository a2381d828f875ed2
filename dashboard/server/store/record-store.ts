/**
 * Where records are kept, whichever database it is: what an ingest worker writes to and an office reads from.
 * One contract suite holds for every implementation (tests/contracts/record-store).
 */
import type { RecordMessage } from '#core/messages/record';
import type { RigAddress } from '#core/topics/topics';
import type { CommitResult, StreamState, VerifiedRecord } from './store.ts';

export interface RecordStore {
  /**
   * One transaction: when it resolves, the whole batch is durable, each key (site, rig, stream, seq) kept once, and the
   * watermarks of the touched streams have moved. Also right while others commit records of the same streams.
   * `receivedAt`: UTC. Rejects with an error of the store when nothing of the batch is known to be kept.
   */
  commitRecords(batch: readonly VerifiedRecord[], receivedAt: string): Promise<CommitResult>;
  /** Contiguity of a stream that this store has no beginning of starts at `first`; null when not possible. */
  startStreamAt(address: RigAddress, stream: string, first: number): Promise<StreamState | null>;
  /** Null where nothing of the stream has come. */
  streamState(address: RigAddress, stream: string): Promise<StreamState | null>;
  /** Of every rig the stream that a record came for last. */
  newestStreams(): Promise<StreamState[]>;
  /** Where every stream stands, whatever rig it is of, without the counts of StreamState. */
  watermarks(): Promise<StreamMark[]>;
  /** Records of one stream behind `seq`, in order, none beyond its watermark: these never change. */
  recordsBehind(address: RigAddress, stream: string, seq: number, limit: number): Promise<RecordMessage[]>;
}

export interface StreamMark extends RigAddress {
  readonly stream: string;
  readonly first: number | null;
  readonly upto: number;
}
