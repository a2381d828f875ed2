/**
 * Room made at the truck by letting old samples go: to values of a second, or altogether. Events, passes, seals,
 * journal, and the number, the hash and the predecessor of each record stay, so that chain and seals still hold.
 * Nothing here is done by itself: a person asks for it, and it is written down.
 */
import { createHash } from 'node:crypto';
import type { Database } from 'better-sqlite3';
import type { Origin } from '#core/messages/common';
import { type RecordBody, recordBodySchema } from '#core/messages/record';
import { reducedHashInput } from '#core/record/chain';
import { isEmptied, pruneRecord, thinRecord } from '#core/record/reduce-record';
import { verifyRecord } from '../ingest/verify-record.ts';
import type { RecordTable } from './record-table.ts';
import type { Prepare } from './statements.ts';

export interface PruneWish {
  /** Records whose last sample is older, UTC ms. */
  readonly beforeMs: number;
  /** seconds: mean, least and greatest of each second stay. none: no sample stays. */
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

interface Row {
  id: number;
  seq: number;
  prev: string;
  hash: string;
  body: string;
  chunkBytes: number;
}

const PAGE = 100;
const OLD_ENOUGH = `FROM chunks JOIN records USING (stream_id, seq)
  WHERE stream_id = @streamId AND last_utc_ms < @beforeMs AND (reduced_to IS NULL OR @keep = 'none')`;

export class Pruning {
  private readonly db: Database;
  private readonly sql: Prepare;
  private readonly records: RecordTable;

  constructor(db: Database, sql: Prepare, records: RecordTable) {
    this.db = db;
    this.sql = sql;
    this.records = records;
  }

  /** What would go; changes nothing. */
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
      const found = this.sql(
        `SELECT count(*) AS records, coalesce(sum(length(body) + length(data)), 0) AS bytes,
           coalesce(max(seq), 0) AS lastSeq ${OLD_ENOUGH} AND seq <= @limit`,
      ).get(asked) as Pick<PruneStream, 'records' | 'bytes' | 'lastSeq'>;
      const { n } = this.sql(`SELECT count(*) AS n ${OLD_ENOUGH} AND seq > @limit`).get(asked) as {
        n: number;
      };
      return found.records + n === 0 ? [] : [{ ...stream, ...found, notSealed: n }];
    });
  }

  /** Lets the samples of one planned stream go; a page a transaction. Yields records and bytes freed so far. */
  *prune(stream: PruneStream, wish: PruneWish): Generator<{ records: number; bytes: number }> {
    const done = { records: 0, bytes: 0 };
    for (let after = 0; ; ) {
      const rows = this.sql(
        `SELECT records.id, seq, prev, hash, body, length(data) AS chunkBytes ${OLD_ENOUGH}
         AND seq > @after AND seq <= @limit ORDER BY seq LIMIT ${PAGE}`,
      ).all({ ...wish, unsealed: null, streamId: stream.streamId, after, limit: stream.lastSeq }) as Row[];
      if (rows.length === 0) return;
      this.db.transaction(() => {
        for (const row of rows) {
          const freed = this.reduce(stream, row, wish.keep);
          if (freed === null) continue;
          done.records++;
          done.bytes += freed;
        }
      })();
      after = rows.at(-1)!.seq;
      yield { ...done };
    }
  }

  /** For whoever asks later where the samples are. */
  writeDown(pruning: {
    at: string;
    before: string;
    kept: PruneWish['keep'];
    records: number;
    bytes: number;
    backup: string | null;
  }): void {
    this.sql(
      `INSERT INTO prunings (at, before, kept, records, bytes, backup)
       VALUES (@at, @before, @kept, @records, @bytes, @backup)`,
    ).run(pruning);
  }

  /** Bytes that it takes less; null where it would take no less, or cannot be read: then it stays as it is. */
  private reduce(
    stream: PruneStream,
    { id, seq, prev, hash, body, chunkBytes }: Row,
    keep: PruneWish['keep'],
  ): number | null {
    const parsed = recordBodySchema.safeParse(parse(body));
    if (!parsed.success) return null;
    const left: RecordBody | null = keep === 'seconds' ? thinRecord(parsed.data) : pruneRecord(parsed.data);
    if (!left) return null;
    const text = keep === 'none' && isEmptied(left) ? '' : JSON.stringify(left);
    const bodyHash = createHash('sha256')
      .update(reducedHashInput({ hash, body: text }), 'utf8')
      .digest('hex');
    const to = keep === 'seconds' ? 'thinned' : 'pruned';
    const { origin, stream: name } = stream;
    const message = {
      origin,
      stream: name,
      seq,
      prev,
      hash,
      historical: true,
      body: text,
      reduced: { to, bodyHash },
    } as const;
    // It passes the check that an edge's reduced record has to pass, or it is not taken.
    const verified = verifyRecord(stream, message);
    if (!verified.ok || verified.record.unreadable !== null) return null;
    const after = text.length + (verified.record.samples?.bytes.length ?? 0);
    const freed = body.length + chunkBytes - after;
    if (freed <= 0) return null;
    this.records.reduce(id, stream.streamId, verified.record);
    return freed;
  }
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
