/** Records of a worker's share for the projection, with a cursor for every stream, kept where the records are. */
import type { FeedRecord, RecordFeed } from '../projection/record-feed.ts';
import type { Turns } from '../projection/wall-turns.ts';
import type { PostgresClient } from './postgres-client.ts';
import type { Share } from './share.ts';

interface FeedRow {
  readonly stream_id: string;
  readonly seq: string;
  readonly body: Buffer;
  readonly stream: string;
  readonly ordinal: string;
  readonly turns: readonly string[];
}

/** Streams of the share with where their projection stands: $1 target, $2 sites, $3 rigs. */
const STREAMS = `
  SELECT s.id, s.stream, s.upto, coalesce(c.seq, s.first_seq - 1) AS cursor, coalesce(c.turns, '{}') AS turns,
    (SELECT count(*) FROM girthlog.streams o WHERE o.site = s.site AND o.rig = s.rig AND o.id < s.id) AS ordinal
  FROM girthlog.streams s
  LEFT JOIN girthlog.sample_cursors c ON c.stream_id = s.id AND c.target = $1
  WHERE s.first_seq IS NOT NULL AND (cardinality($2::text[]) + cardinality($3::text[]) = 0
    OR s.site = ANY ($2) OR s.site || '/' || s.rig = ANY ($3))`;

export class PostgresFeed implements RecordFeed {
  private readonly database: PostgresClient;
  private readonly target: string;
  private readonly share: [readonly string[], readonly string[]];
  private page: readonly FeedRow[] = [];
  /** Records that are still to be written, as far as was known when last asked; null before. */
  behind: number | null = null;

  /** `target`: the name of what is written to, without secrets; another one begins anew. */
  constructor(database: PostgresClient, target: string, { sites, rigs }: Share) {
    this.database = database;
    this.target = target;
    this.share = [sites, rigs.map(({ site, rig }) => `${site}/${rig}`)];
  }

  /** The oldest waiting records of each stream in turn, so that a backlog of one holds up no other. */
  async next(limit: number): Promise<FeedRecord[]> {
    const where = [this.target, ...this.share];
    this.page = await this.database.use(async client => {
      const behind = await client.query(
        `SELECT coalesce(sum(greatest(upto - cursor, 0)), 0) AS n FROM (${STREAMS}) AS streams`,
        where,
      );
      this.behind = Number(behind.rows[0].n);
      if (this.behind === 0) return [];
      const { rows } = await client.query<FeedRow>(
        `SELECT r.stream_id, r.seq, r.body, waiting.stream, waiting.ordinal, waiting.turns FROM (
           SELECT streams.id, streams.stream, streams.ordinal, streams.turns, l.seq,
             l.seq - streams.cursor AS turn FROM (${STREAMS}) AS streams
           CROSS JOIN LATERAL (
             SELECT seq FROM girthlog.records
             WHERE stream_id = streams.id AND seq > streams.cursor AND seq <= streams.upto ORDER BY seq LIMIT $4
           ) l WHERE streams.upto > streams.cursor ORDER BY turn, streams.id LIMIT $4
         ) waiting JOIN girthlog.records r ON r.stream_id = waiting.id AND r.seq = waiting.seq
         ORDER BY waiting.turn, waiting.id`,
        [...where, limit],
      );
      return rows;
    });
    return this.page.map(({ body, stream, ordinal }, id) => ({
      id,
      body: body.toString('utf8'),
      stream,
      ordinal: Number(ordinal),
    }));
  }

  turns({ id }: FeedRecord): Turns {
    return this.page[id]!.turns.map(Number);
  }

  async taken(_records: readonly FeedRecord[], turns: ReadonlyMap<FeedRecord, Turns>): Promise<void> {
    const reached = new Map<string, { seq: number; turns: Turns }>();
    for (const row of this.page) {
      const before = reached.get(row.stream_id);
      reached.set(row.stream_id, {
        seq: Math.max(before?.seq ?? 0, Number(row.seq)),
        turns: before?.turns ?? row.turns.map(Number),
      });
    }
    for (const [{ id }, ends] of turns) reached.get(this.page[id]!.stream_id)!.turns = ends;
    if (reached.size === 0) return;
    await this.database.transaction(async client => {
      for (const [streamId, { seq, turns: ends }] of [...reached].sort(([a], [b]) => Number(a) - Number(b))) {
        await client.query(
          `INSERT INTO girthlog.sample_cursors (target, stream_id, seq, turns) VALUES ($1, $2, $3, $4)
           ON CONFLICT (target, stream_id) DO UPDATE SET seq = excluded.seq, turns = excluded.turns
           WHERE sample_cursors.seq < excluded.seq`,
          [this.target, streamId, seq, ends],
        );
      }
    });
  }

  async reject(recordId: number, at: string, point: string, reason: string): Promise<void> {
    const row = this.page[recordId]!;
    await this.database.use(client =>
      client.query(
        `INSERT INTO girthlog.rejected_points (target, stream_id, seq, at, point, reason)
         VALUES ($1, $2, $3, $4, $5, $6)`,
        [this.target, row.stream_id, row.seq, at, printable(point), printable(reason)],
      ),
    );
  }
}

function printable(text: string): string {
  return text.replaceAll('\0', '\uFFFD');
}
