/** Reads the two stores from outside, as an auditor would: the edge's outbox and the truck's. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { recordBodySchema } from '#core/messages/record';
import { fromBase64 } from '#core/sample/base64';
import { decodeChunk } from '#core/sample/codec';
import { RecordBodies } from '../../../dashboard/server/store/record-bodies.ts';
import { prepareOnce } from '../../../dashboard/server/store/statements.ts';
import { type Sample, samplesOf } from './numbered-samples.ts';

const TRUCK_FILE = 'dashboard.sqlite3';

export interface KeptBatch {
  readonly seq: number;
  readonly prev: string;
  readonly hash: string;
  readonly body: string;
  /** Where its samples gave way on a full disk, and the hash of the body that is left. */
  readonly reduced_to: 'thinned' | 'pruned' | null;
  readonly body_hash: string | null;
}

const COLUMNS = 'seq, prev, hash, body, reduced_to, body_hash';

export interface EdgeStore {
  readonly stream: string;
  readonly batches: KeptBatch[];
  readonly cursors: Record<string, number>;
}

export interface TruckStream {
  readonly site: string;
  readonly rig: string;
  readonly stream: string;
  readonly upto: number;
  /** Records that could be kept but not read. */
  readonly unreadable: number;
  readonly records: KeptBatch[];
}

export interface TruckStore {
  readonly streams: TruckStream[];
  readonly conflicts: number;
}

function reading<T>(file: string, task: (db: Database.Database) => T): T {
  const db = new Database(file, { readonly: true, timeout: 5000 });
  try {
    return task(db);
  } finally {
    db.close();
  }
}

export function readEdgeStore(file: string): EdgeStore {
  return reading(file, db => ({
    stream: db.prepare("SELECT value FROM meta WHERE key = 'stream'").pluck().get() as string,
    batches: db.prepare(`SELECT ${COLUMNS} FROM batch ORDER BY seq`).all() as KeptBatch[],
    cursors: Object.fromEntries(
      (db.prepare('SELECT store, upto FROM cursor').all() as { store: string; upto: number }[]).map(
        ({ store, upto }) => [store, upto],
      ),
    ),
  }));
}

/**
 * Both stores as they stood at one moment, also while programs work on them: the truck is read between two looks at an
 * edge that has not moved. Once the rig is silent an edge hardly moves.
 */
export function readBoth(
  edgeFile: string,
  readTruck: () => TruckStore,
): { edge: EdgeStore; truck: TruckStore } {
  for (let edge = readEdgeStore(edgeFile); ; ) {
    const truck = readTruck();
    const again = readEdgeStore(edgeFile);
    const hasMoved = again.stream !== edge.stream || again.batches.length !== edge.batches.length;
    if (!hasMoved && JSON.stringify(again.cursors) === JSON.stringify(edge.cursors)) return { edge, truck };
    edge = again;
  }
}

/** Number of the newest batch at the edge; 0 while there is none. */
export function newestCommitted(file: string): number {
  return newest(file, 'SELECT max(seq) FROM batch');
}

/** How far the truck has taken over the stream it heard of last; 0 while there is none. */
export function newestTaken(data: string): number {
  return newest(join(data, TRUCK_FILE), 'SELECT upto FROM streams ORDER BY id DESC LIMIT 1');
}

/** The same for every rig. */
export function takenByRig(data: string): Map<string, number> {
  return reading(join(data, TRUCK_FILE), db => {
    const rows = db.prepare('SELECT rig, upto FROM streams ORDER BY id').all() as {
      rig: string;
      upto: number;
    }[];
    return new Map(rows.map(({ rig, upto }) => [rig, upto]));
  });
}

function newest(file: string, sql: string): number {
  if (!existsSync(file)) return 0;
  return reading(file, db => {
    // The file is there a moment before its tables.
    if (db.pragma('user_version', { simple: true }) === 0) return 0;
    return (db.prepare(sql).pluck().get() as number | null | undefined) ?? 0;
  });
}

/** `data` is the dashboard's data directory; one that has not stored anything yet is empty. */
export function readTruckStore(data: string): TruckStore {
  const file = join(data, TRUCK_FILE);
  if (!existsSync(file)) return { streams: [], conflicts: 0 };
  return reading(file, db => {
    const rows = db.prepare('SELECT id, site, rig, stream, upto FROM streams').all() as {
      id: number;
      site: string;
      rig: string;
      stream: string;
      upto: number;
    }[];
    const records = db.prepare(`SELECT ${COLUMNS}, settled FROM records WHERE stream_id = ? ORDER BY seq`);
    const bodies = new RecordBodies(prepareOnce(db));
    const unreadable = db
      .prepare('SELECT count(*) FROM records WHERE stream_id = ? AND unreadable IS NOT NULL')
      .pluck();
    return {
      streams: rows.map(({ id, ...stream }) => ({
        ...stream,
        unreadable: unreadable.get(id) as number,
        records: (records.all(id) as (KeptBatch & { settled: number | null })[]).map(row => {
          const { settled, ...whole } = bodies.whole(id, row);
          return whole;
        }),
      })),
      conflicts: db.prepare('SELECT count(*) FROM record_conflicts').pluck().get() as number,
    };
  });
}

/** Raw samples: means of what gave way are not those the device made. */
export function samplesIn(batches: readonly KeptBatch[]): Sample[] {
  return batches.flatMap(({ body, reduced_to: reducedTo }) => {
    if (reducedTo !== null) return [];
    const { samples } = recordBodySchema.parse(JSON.parse(body));
    return samples ? samplesOf(decodeChunk(fromBase64(samples.data))) : [];
  });
}

/** Events on record, oldest first. */
export function eventsIn(batches: readonly KeptBatch[]) {
  return batches.flatMap(({ body }) => (body === '' ? [] : recordBodySchema.parse(JSON.parse(body)).events));
}
