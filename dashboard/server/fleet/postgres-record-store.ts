/**
 * Records in PostgreSQL, for several workers at once.
 *
 * Invariants
 * - a worker that writes a stream holds the lock of its row in `streams` until it commits, so that the watermark and
 *   the head are always those of the records that are there; rows are locked in one order, so nobody waits in a ring;
 * - the same key is kept once; another content under it is kept beside it, and never moves anything.
 */
import type { ClientBase } from 'pg';
import type { RecordMessage } from '#core/messages/record';
import { CHAIN_START } from '#core/record/chain';
import type { RigAddress } from '#core/topics/topics';
import { keptMessage } from '../store/read-record.ts';
import type { RecordStore, StreamMark } from '../store/record-store.ts';
import type { CommitResult, RecordOutcome, StreamState, VerifiedRecord } from '../store/store.ts';
import type { PostgresClient } from './postgres-client.ts';
import { writeContents } from './postgres-contents.ts';
import { prepareLayout } from './postgres-layout.ts';
import { advanceStreams, streamStates } from './postgres-streams.ts';

interface Placed {
  readonly record: VerifiedRecord;
  readonly streamId: string;
}

export class PostgresRecordStore implements RecordStore {
  private readonly database: PostgresClient;

  constructor(database: PostgresClient) {
    this.database = database;
  }

  /** Makes or updates the tables; the steps taken. */
  prepare(): Promise<number> {
    return this.database.use(prepareLayout);
  }

  commitRecords(batch: readonly VerifiedRecord[], receivedAt: string): Promise<CommitResult> {
    return this.database.transaction(async client => {
      const ids = await lockStreams(client, batch, receivedAt);
      const placed = batch.map(record => ({ record, streamId: ids.get(streamKey(record))! }));
      const outcomes = await insertRecords(client, placed, receivedAt);
      const stored = placed.filter((_, i) => outcomes[i] === 'stored');
      const foreignPasses = await writeContents(client, stored);
      const touched = [...ids.values()];
      await advanceStreams(client, touched);
      return { outcomes, streams: await streamStates(client, touched), foreignPasses };
    });
  }

  startStreamAt({ site, rig }: RigAddress, stream: string, first: number): Promise<StreamState | null> {
    return this.database.transaction(async client => {
      const { rows } = await client.query(
        `UPDATE girthlog.streams s SET first_seq = r.seq, upto = r.seq - 1, head = r.prev
         FROM girthlog.records r
         WHERE s.site = $1 AND s.rig = $2 AND s.stream = $3 AND s.first_seq IS NULL
           AND r.stream_id = s.id AND r.seq = $4
         RETURNING s.id`,
        [site, rig, stream, first],
      );
      if (rows.length === 0) return null;
      const ids = [rows[0].id as string];
      await advanceStreams(client, ids);
      return (await streamStates(client, ids))[0] ?? null;
    });
  }

  streamState({ site, rig }: RigAddress, stream: string): Promise<StreamState | null> {
    return this.database.use(async client => {
      const { rows } = await client.query(
        'SELECT id FROM girthlog.streams WHERE site = $1 AND rig = $2 AND stream = $3',
        [site, rig, stream],
      );
      return rows.length === 0 ? null : ((await streamStates(client, [rows[0].id]))[0] ?? null);
    });
  }

  newestStreams(): Promise<StreamState[]> {
    return this.database.use(async client => {
      const { rows } = await client.query(
        `SELECT DISTINCT ON (site, rig) id FROM girthlog.streams ORDER BY site, rig, last_received DESC, id DESC`,
      );
      return streamStates(
        client,
        rows.map(row => row.id as string),
      );
    });
  }

  watermarks(): Promise<StreamMark[]> {
    return this.database.use(async client => {
      const { rows } = await client.query(
        'SELECT site, rig, stream, first_seq, upto FROM girthlog.streams ORDER BY id',
      );
      return rows.map(({ site, rig, stream, first_seq: first, upto }) => ({
        ...{ site, rig, stream },
        first: first === null ? null : Number(first),
        upto: Number(upto),
      }));
    });
  }

  recordsBehind(
    { site, rig }: RigAddress,
    stream: string,
    seq: number,
    limit: number,
  ): Promise<RecordMessage[]> {
    return this.database.use(async client => {
      const { rows } = await client.query(
        `SELECT r.origin, r.seq, r.prev, r.hash, r.body, r.reduced_to AS "reducedTo", r.body_hash AS "bodyHash"
         FROM girthlog.streams s
         JOIN girthlog.records r ON r.stream_id = s.id AND r.seq > $4 AND r.seq <= s.upto
         WHERE s.site = $1 AND s.rig = $2 AND s.stream = $3 ORDER BY r.seq LIMIT $5`,
        [site, rig, stream, seq, limit],
      );
      return rows.map(row =>
        keptMessage(stream, { ...row, seq: Number(row.seq), body: (row.body as Buffer).toString('utf8') }),
      );
    });
  }
}

function streamKey({ site, rig, message }: VerifiedRecord): string {
  return `${site}/${rig}/${message.stream}`;
}

/** Rows of the streams in the batch, made where new, locked until the end of the transaction; by streamKey. */
async function lockStreams(
  client: ClientBase,
  batch: readonly VerifiedRecord[],
  receivedAt: string,
): Promise<Map<string, string>> {
  const first = new Map<string, VerifiedRecord>();
  for (const record of batch) if (!first.has(streamKey(record))) first.set(streamKey(record), record);
  const records = [...first.values()];
  const { rows } = await client.query(
    `INSERT INTO girthlog.streams (site, rig, stream, origin, head, last_received)
     SELECT t.*, $5, $6 FROM unnest($1::text[], $2::text[], $3::text[], $4::text[]) AS t (site, rig, stream, origin)
     ORDER BY 1, 2, 3
     ON CONFLICT (site, rig, stream)
       DO UPDATE SET last_received = greatest(streams.last_received, excluded.last_received)
     RETURNING id, site, rig, stream`,
    [
      records.map(({ site }) => site),
      records.map(({ rig }) => rig),
      records.map(({ message }) => message.stream),
      records.map(({ message }) => message.origin),
      CHAIN_START,
      receivedAt,
    ],
  );
  const ids = new Map(rows.map(row => [`${row.site}/${row.rig}/${row.stream}`, row.id as string]));
  // In the order of the batch, which is the order of the answer.
  return new Map([...first.keys()].map(key => [key, ids.get(key)!]));
}

/** Keeps what is new; what is not is a duplicate, or another content under a kept key, which is kept beside it. */
async function insertRecords(
  client: ClientBase,
  placed: readonly Placed[],
  receivedAt: string,
): Promise<RecordOutcome[]> {
  const seen = new Map<string, string>();
  const fresh: Placed[] = [];
  for (const one of placed) {
    const key = recordKey(one.streamId, one.record.message.seq);
    if (seen.has(key)) continue;
    seen.set(key, one.record.message.hash);
    fresh.push(one);
  }
  const inserted = await insert(client, fresh, receivedAt);
  const others = fresh.filter(
    ({ streamId, record }) => !inserted.has(recordKey(streamId, record.message.seq)),
  );
  const kept = others.length === 0 ? new Map<string, string>() : await keptHashes(client, others);
  const conflicts: Placed[] = [];
  const outcomes = placed.map((one): RecordOutcome => {
    const { seq, hash } = one.record.message;
    const key = recordKey(one.streamId, seq);
    // Only the first of a batch that names a new key is the one that was stored.
    if (inserted.delete(key)) return 'stored';
    if ((kept.get(key) ?? seen.get(key)) === hash) return 'duplicate';
    conflicts.push(one);
    return 'conflict';
  });
  if (conflicts.length > 0) await insertConflicts(client, conflicts, receivedAt);
  return outcomes;
}

function recordKey(streamId: string, seq: number): string {
  return `${streamId}/${seq}`;
}

async function insert(
  client: ClientBase,
  placed: readonly Placed[],
  receivedAt: string,
): Promise<Set<string>> {
  const messages = placed.map(({ record }) => record.message);
  const { rows } = await client.query(
    `INSERT INTO girthlog.records
       (stream_id, seq, prev, hash, origin, unreadable, reduced_to, body_hash, body, received_at)
     SELECT t.*, $10 FROM unnest($1::bigint[], $2::bigint[], $3::text[], $4::text[], $5::text[], $6::text[],
       $7::text[], $8::text[], $9::bytea[]) AS t
     ON CONFLICT (stream_id, seq) DO NOTHING RETURNING stream_id, seq`,
    [
      placed.map(({ streamId }) => streamId),
      messages.map(({ seq }) => seq),
      messages.map(({ prev }) => prev),
      messages.map(({ hash }) => hash),
      messages.map(({ origin }) => origin),
      placed.map(({ record }) => record.unreadable?.replaceAll('\0', '\uFFFD') ?? null),
      messages.map(({ reduced }) => reduced?.to ?? null),
      messages.map(({ reduced }) => reduced?.bodyHash ?? null),
      messages.map(({ body }) => Buffer.from(body, 'utf8')),
      receivedAt,
    ],
  );
  return new Set(rows.map(row => recordKey(row.stream_id, Number(row.seq))));
}

async function keptHashes(client: ClientBase, placed: readonly Placed[]): Promise<Map<string, string>> {
  const { rows } = await client.query(
    `SELECT r.stream_id, r.seq, r.hash FROM unnest($1::bigint[], $2::bigint[]) AS t (stream_id, seq)
     JOIN girthlog.records r USING (stream_id, seq)`,
    [placed.map(({ streamId }) => streamId), placed.map(({ record }) => record.message.seq)],
  );
  return new Map(rows.map(row => [recordKey(row.stream_id, Number(row.seq)), row.hash as string]));
}

async function insertConflicts(
  client: ClientBase,
  placed: readonly Placed[],
  receivedAt: string,
): Promise<void> {
  for (const { streamId, record } of placed) {
    const { seq, hash, prev, origin, body } = record.message;
    await client.query(
      `INSERT INTO girthlog.record_conflicts (stream_id, seq, hash, prev, origin, received_at, body)
       VALUES ($1, $2, $3, $4, $5, $6, $7) ON CONFLICT (stream_id, seq, hash) DO NOTHING`,
      [streamId, seq, hash, prev, origin, receivedAt, Buffer.from(body, 'utf8')],
    );
  }
}
