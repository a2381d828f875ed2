/**
 * Room made at the truck by letting old samples go: to values of a second, or to summaries alone (zoom levels, which
 * are never let go). Events, passes, seals, journal, and the number, the hash and the predecessor of each record stay,
 * so that chain and seals still hold. Nothing here is done by itself: a person asks for it, and it is written down.
 */
import type { Database } from 'better-sqlite3';
import type { Origin } from '#core/messages/common';
import { PrunedRecords, type PruneRow } from './pruned-records.ts';
import type { RecordTable } from './record-table.ts';
import type { Prepare } from './statements.ts';
import type { ChunkRow } from './store.ts';

export interface PruneWish {
  /** Records whose last sample is older, UTC ms. */
  readonly beforeMs: number;
  /** seconds: mean, least and greatest of each second stay. none: no sample stays, summaries do. */
  readonly keep: 'seconds' | 'none';
  /** Also records that no checked seal covers. */
  readonly unsealed: boolean;
}

export interface PruneStream {
  readonly streamId: number;
  readonly site: string;
  readonly rig: string;
  readonly stream: string;
  readonly origin: Origin;
  /** Records that can give samples, and what those take now. */
  readonly records: number;
  readonly bytes: number;
  readonly lastSeq: number;
  /** Old enough, and kept because no checked seal covers them. */
  readonly notSealed: number;
}

/** For whoever asks later where the samples are. */
export interface PruneNote {
  /** When it was asked for, UTC. */
  readonly at: string;
  /** What holds them: the backup, or InfluxDB; null for nothing. */
  readonly backup: string | null;
}

export type PrunePiece = Pick<ChunkRow, 'id' | 'kind'>;

interface Found {
  records: number;
  bytes: number;
  lastSeq: number;
}

const PAGE = 100;
/** Transactions between two lines that say what was let go. */
const NOTED_EVERY = 200;
const OLD_ENOUGH = `FROM chunks JOIN records USING (stream_id, seq)
  WHERE stream_id = @streamId AND last_utc_ms < @beforeMs AND (reduced_to IS NULL OR @keep = 'none')`;
const OLD_STRETCHES = `FROM stretches WHERE stream_id = @streamId AND last_utc_ms < @beforeMs AND data IS NOT NULL`;
const RECORDS_IN = `(SELECT count(*) FROM records WHERE records.stream_id = stretches.stream_id
  AND records.seq BETWEEN first_seq AND last_seq AND settled = stretches.id)`;

export class Pruning {
  private readonly db: Database;
  private readonly sql: Prepare;
  private readonly pruned: PrunedRecords;

  constructor(db: Database, sql: Prepare, records: RecordTable) {
    this.db = db;
    this.sql = sql;
    this.pruned = new PrunedRecords(sql, records);
  }

  /** What would go; changes nothing. Of settled samples a stretch goes whole, or stays. */
  plan({ beforeMs, keep, unsealed }: PruneWish): PruneStream[] {
    const streams = this.sql(
      `SELECT streams.id AS streamId, site, rig, stream, origin, upto, coalesce(head_seq, 0) AS sealedTo
       FROM streams LEFT JOIN seal_progress ON seal_progress.stream_id = streams.id ORDER BY streams.id`,
    ).all() as (Omit<PruneStream, 'records' | 'bytes' | 'lastSeq' | 'notSealed'> & {
      upto: number;
      sealedTo: number;
    })[];
    return streams.flatMap(({ upto, sealedTo, ...stream }) => {
      const limit = unsealed ? upto : Math.min(upto, sealedTo);
      const asked = { streamId: stream.streamId, beforeMs, keep, limit };
      const single = this.sql(
        `SELECT count(*) AS records, coalesce(sum(length(body) + length(data)), 0) AS bytes,
           coalesce(max(seq), 0) AS lastSeq ${OLD_ENOUGH} AND seq <= @limit`,
      ).get(asked) as Found;
      const settled = this.sql(
        `SELECT coalesce(sum(${RECORDS_IN}), 0) AS records,
           coalesce(sum(length(data) + length(texts)), 0) AS bytes, coalesce(max(last_seq), 0) AS lastSeq
         ${OLD_STRETCHES} AND last_seq <= @limit`,
      ).get(asked) as Found;
      const { n } = this.sql(
        `SELECT (SELECT count(*) ${OLD_ENOUGH} AND seq > @limit) +
           (SELECT coalesce(sum(${RECORDS_IN}), 0) ${OLD_STRETCHES} AND last_seq > @limit) AS n`,
      ).get(asked) as { n: number };
      const records = single.records + settled.records;
      if (records + n === 0) return [];
      const bytes = single.bytes + settled.bytes;
      const lastSeq = Math.max(single.lastSeq, settled.lastSeq);
      return [{ ...stream, records, bytes, lastSeq, notSealed: n }];
    });
  }

  /** What would go of one planned stream, piece by piece in order: for whoever has to hold it first. */
  *pieces({ streamId, lastSeq: limit }: PruneStream, { beforeMs, keep }: PruneWish): Generator<PrunePiece> {
    const asked = { streamId, beforeMs, keep, limit };
    const single = `SELECT chunks.id, 'batch' AS kind, seq AS place ${OLD_ENOUGH} AND seq <= @limit`;
    const settled = `SELECT id, 'stretch' AS kind, last_seq AS place ${OLD_STRETCHES} AND last_seq <= @limit`;
    const rows = this.sql(`${single} UNION ALL ${settled} ORDER BY place`).all(asked) as PrunePiece[];
    for (const { id, kind } of rows) yield { id, kind };
  }

  /**
   * Lets the samples of one planned stream go; a page a transaction. Yields records and bytes freed so far. What went is
   * written down with the first page and now and then after it, so that a run that is killed has told of itself.
   */
  *prune(
    stream: PruneStream,
    wish: PruneWish,
    note: PruneNote | null = null,
  ): Generator<{ records: number; bytes: number }> {
    const done = { records: 0, bytes: 0 };
    const told = { records: 0, bytes: 0 };
    let pages = 0;
    const tell = (): void => {
      const [records, bytes] = [done.records - told.records, done.bytes - told.bytes];
      if (note && records > 0) this.writeDown(note, wish, records, bytes);
      Object.assign(told, done);
    };
    const asked = { ...wish, unsealed: null, streamId: stream.streamId, limit: stream.lastSeq };
    // What is read is what is changed: a running dashboard settles samples meanwhile.
    const inPages = (page: (after: number) => number | null) => (after: number) =>
      this.db
        .transaction(() => {
          const reached = page(after);
          if (reached === null || pages++ % NOTED_EVERY === 0) tell();
          return reached;
        })
        .immediate();
    const batches = inPages(after => {
      const rows = this.sql(
        `SELECT records.id, seq, prev, hash, body, chunks.id AS chunkId, length(data) AS chunkBytes ${OLD_ENOUGH}
         AND seq > @after AND seq <= @limit ORDER BY seq LIMIT ${PAGE}`,
      ).all({ ...asked, after }) as PruneRow[];
      add(done, this.pruned.takeRows(stream, rows, wish.keep));
      return rows.at(-1)?.seq ?? null;
    });
    const stretches = inPages(after => {
      const row = this.sql(
        `SELECT id, last_seq ${OLD_STRETCHES} AND last_seq > @after AND last_seq <= @limit ORDER BY last_seq LIMIT 1`,
      ).get({ ...asked, after }) as { id: number; last_seq: number } | undefined;
      if (!row) return null;
      add(done, this.pruned.takeStretch(stream, row.id, wish.keep));
      return row.last_seq;
    });
    for (const page of [batches, stretches]) {
      for (let after = page(0); after !== null; after = page(after)) yield { ...done };
    }
  }

  private writeDown(
    { at, backup }: PruneNote,
    { beforeMs, keep }: PruneWish,
    records: number,
    bytes: number,
  ): void {
    const before = new Date(beforeMs).toISOString();
    this.sql(
      `INSERT INTO prunings (at, before, kept, records, bytes, backup)
       VALUES (@at, @before, @keep, @records, @bytes, @backup)`,
    ).run({ at, before, keep, records, bytes, backup });
  }
}

function add(
  done: { records: number; bytes: number },
  one: { readonly records: number; readonly bytes: number },
): void {
  done.records += one.records;
  done.bytes += one.bytes;
}
