/** Stored records in the order in which they are projected, with a cursor that outlives the program. */
import type { DashboardStore, StoredRecord } from '../store/store.ts';
import type { ProjectionCursor } from './projection-cursor.ts';
import type { Turns } from './wall-turns.ts';

/** A record with what tells its samples from those of others at the same time. */
export interface FeedRecord extends StoredRecord {
  readonly stream: string;
  /** Number of the stream among those of its rig, from 0, for good. */
  readonly ordinal: number;
}

export interface RecordFeed {
  /** The next records that were not taken yet, those of a stream always in one order; empty when there are none. */
  next(limit: number): readonly FeedRecord[] | Promise<readonly FeedRecord[]>;
  /** Turns of the record's stream as they were kept with what was taken; none at first. */
  turns(record: FeedRecord): Turns;
  /** All of what `next` gave has been written; kept in one transaction with the turns, by record, newest last. */
  taken(records: readonly FeedRecord[], turns: ReadonlyMap<FeedRecord, Turns>): void | Promise<void>;
  /** A point of one of these records that cannot be written; `at` is UTC. */
  reject(recordId: number, at: string, point: string, reason: string): void | Promise<void>;
}

/** The records of this program's own store, in the order they came. */
export function localFeed(store: Pick<DashboardStore, 'recordsAfter'>, cursor: ProjectionCursor): RecordFeed {
  return {
    next: limit => store.recordsAfter(cursor.recordId, limit),
    turns: ({ stream }) => cursor.turns(stream),
    taken: (records, turns) => {
      const byStream = new Map([...turns].map(([{ stream }, one]) => [stream, one]));
      cursor.advance(records.at(-1)?.id ?? cursor.recordId, byStream);
    },
    reject: (recordId, at, point, reason) => cursor.reject(recordId, at, point, reason),
  };
}
