/** Stored records in the order in which they are projected, with a cursor that outlives the program. */
import type { DashboardStore, StoredRecord } from '../store/store.ts';
import type { ProjectionCursor } from './projection-cursor.ts';

export interface RecordFeed {
  /** The next records that were not taken yet; empty when there are none. */
  next(limit: number): readonly StoredRecord[] | Promise<readonly StoredRecord[]>;
  /** All of what `next` gave has been written. */
  taken(records: readonly StoredRecord[]): void | Promise<void>;
  /** A point of one of these records that cannot be written; `at` is UTC. */
  reject(recordId: number, at: string, point: string, reason: string): void | Promise<void>;
}

/** The records of this program's own store, in the order they came. */
export function localFeed(store: Pick<DashboardStore, 'recordsAfter'>, cursor: ProjectionCursor): RecordFeed {
  return {
    next: limit => store.recordsAfter(cursor.recordId, limit),
    taken: records => cursor.advance(records.at(-1)?.id ?? cursor.recordId),
    reject: (recordId, at, point, reason) => cursor.reject(recordId, at, point, reason),
  };
}
