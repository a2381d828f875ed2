/** Raw records, append-only, and what is read out of them: samples, passes, deviations, events. */
import type { Database } from 'better-sqlite3';
import type { PassMessage } from '#core/messages/pass';
import type { RecordMessage } from '#core/messages/record';
import type { Channel } from '#core/sample/channels';
import { coverageOf, reducedCoverage } from '#core/series/coverage';
import { extremesOf } from '#core/series/min-max';
import type { RigAddress } from '#core/topics/topics';
import type { FeedRecord } from '../projection/record-feed.ts';
import { ClockMapTable } from './clock-map-table.ts';
import { deviationStart, isOwnPass, keptMessage, type RecordRow } from './read-record.ts';
import { RecordBodies, type SettledRow } from './record-bodies.ts';
import type { SealTable } from './seal-table.ts';
import type { Prepare } from './statements.ts';
import type { CommitResult, RecordOutcome, VerifiedRecord } from './store.ts';
import type { StreamTable } from './stream-table.ts';

export class RecordTable {
  private readonly db: Database;
  private readonly sql: Prepare;
  private readonly streams: StreamTable;
  private readonly seals: SealTable;
  readonly clockMap: ClockMapTable;
  private readonly bodies: RecordBodies;

  constructor(db: Database, sql: Prepare, streams: StreamTable, seals: SealTable) {
    this.db = db;
    this.sql = sql;
    this.streams = streams;
    this.seals = seals;
    this.clockMap = new ClockMapTable(sql);
    this.bodies = new RecordBodies(sql);
  }

  after(id: number, limit: number): FeedRecord[] {
    const rows = this.sql(
      `SELECT r.id, r.stream_id, r.seq, r.prev, r.body, r.settled, s.stream,
         (SELECT count(*) FROM streams o WHERE o.site = s.site AND o.rig = s.rig AND o.id < s.id) AS ordinal
       FROM records r JOIN streams s ON s.id = r.stream_id WHERE r.id > ? ORDER BY r.id LIMIT ?`,
    ).all(id, limit) as (SettledRow & Omit<FeedRecord, 'body'> & { stream_id: number })[];
    return rows.map(row => {
      const { body } = this.bodies.whole(row.stream_id, row);
      return { id: row.id, body, stream: row.stream, ordinal: row.ordinal };
    });
  }

  /** Of one stream, in order, none beyond its watermark. */
  behind({ site, rig }: RigAddress, stream: string, seq: number, limit: number): RecordMessage[] {
    const rows = this.sql(
      `SELECT r.origin, r.seq, r.prev, r.hash, r.body, r.reduced_to AS reducedTo, r.body_hash AS bodyHash,
           r.settled, r.stream_id
         FROM streams s JOIN records r ON r.stream_id = s.id AND r.seq > ? AND r.seq <= s.upto
         WHERE s.site = ? AND s.rig = ? AND s.stream = ? ORDER BY r.seq LIMIT ?`,
    ).all(seq, site, rig, stream, limit) as (RecordRow & { settled: number | null; stream_id: number })[];
    return rows.map(row => {
      const { settled, stream_id, ...whole } = this.bodies.whole(row.stream_id, row);
      return keptMessage(stream, whole);
    });
  }

  /** One transaction: when it returns, the whole batch is on the disk. */
  commit(batch: readonly VerifiedRecord[], receivedAt: string): CommitResult {
    return this.db.transaction((): CommitResult => {
      const outcomes: RecordOutcome[] = [];
      const touched = new Map<string, number>();
      const foreignPasses: string[] = [];
      for (const record of batch) {
        const { stream, origin } = record.message;
        const key = `${record.site}/${record.rig}/${stream}`;
        const id = touched.get(key) ?? this.streams.ensure(record, stream, origin, receivedAt);
        touched.set(key, id);
        const outcome = this.insert(id, record, receivedAt);
        outcomes.push(outcome);
        if (outcome !== 'stored') continue;
        foreignPasses.push(...this.project(id, record));
        this.seals.keep(id, record, receivedAt);
      }
      for (const id of touched.values()) this.streams.advance(id);
      return { outcomes, streams: [...touched.values()].map(id => this.streams.state(id)), foreignPasses };
    })();
  }

  /** Samples of a record give way: what is left of it, with a hash of its own beside the first, and what is read of it. */
  reduce(id: number, streamId: number, record: VerifiedRecord): void {
    const { body, reduced, seq } = record.message;
    if (!reduced) throw new Error('only a reduced record takes the place of the whole one');
    this.sql('UPDATE records SET body = ?, reduced_to = ?, body_hash = ? WHERE id = ?').run(
      body,
      reduced.to,
      reduced.bodyHash,
      id,
    );
    this.sql('DELETE FROM chunks WHERE stream_id = ? AND seq = ?').run(streamId, seq);
    this.insertChunk(streamId, record);
  }

  private insert(streamId: number, record: VerifiedRecord, receivedAt: string): RecordOutcome {
    const { seq, prev, hash, origin, body, reduced } = record.message;
    const inserted = this.sql(
      `INSERT INTO records (stream_id, seq, prev, hash_bytes, origin, received_ms, unreadable, body, reduced_to, body_hash)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (stream_id, seq) DO NOTHING`,
    ).run(
      streamId,
      seq,
      prev,
      Buffer.from(hash, 'hex'),
      origin,
      Date.parse(receivedAt),
      record.unreadable,
      body,
      reduced?.to ?? null,
      reduced?.bodyHash ?? null,
    );
    if (inserted.changes === 1) return 'stored';
    const kept = this.sql('SELECT hash FROM records WHERE stream_id = ? AND seq = ?').get(streamId, seq) as {
      hash: string;
    };
    if (kept.hash === hash) return 'duplicate';
    this.sql(
      `INSERT INTO record_conflicts (stream_id, seq, prev, hash, origin, received_at, body)
         VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT (stream_id, seq, hash) DO NOTHING`,
    ).run(streamId, seq, prev, hash, origin, receivedAt, body);
    return 'conflict';
  }

  private project(streamId: number, record: VerifiedRecord): string[] {
    const { body } = record;
    if (!body) return [];
    this.insertChunk(streamId, record);
    this.clockMap.keep(streamId, body.clockMap ?? []);
    const insertEvent = this.sql(
      `INSERT INTO events (stream_id, event_id, site, rig, at, type, message) VALUES (?, ?, ?, ?, ?, ?, ?)
       ON CONFLICT (stream_id, event_id) DO NOTHING`,
    );
    for (const event of body.events) {
      insertEvent.run(
        streamId,
        event.id,
        record.site,
        record.rig,
        event.at,
        event.type,
        JSON.stringify(event),
      );
    }
    const foreign: string[] = [];
    for (const pass of body.passes) {
      if (!isOwnPass(record, pass) || !this.upsertPass(streamId, record.message.seq, pass))
        foreign.push(pass.passId);
    }
    return foreign;
  }

  private insertChunk(streamId: number, record: VerifiedRecord): void {
    const { body, samples, message } = record;
    if (!body || !samples || samples.chunk.n === 0) return;
    const { chunk, bytes } = samples;
    const earlier = this.sql(
      'SELECT period_us FROM chunks WHERE stream_id = ? AND first_us < ? ORDER BY first_us DESC LIMIT 1',
    ).get(streamId, chunk.tUs[0]) as { period_us: number | null } | undefined;
    const coverage = body.reduced ? reducedCoverage(chunk) : coverageOf(chunk, earlier?.period_us ?? null);
    const extremes: Record<string, readonly [number, number] | null> = {};
    for (const [channel, column] of Object.entries(chunk.columns)) {
      // Means stand between readings that were further out: those were kept beside them.
      const kept = body.reduced?.extremes[channel as Channel]?.flatMap(pair => pair ?? []);
      const range = extremesOf(kept ? Float64Array.from(kept) : column);
      extremes[channel] = range && [range.min, range.max];
    }
    this.sql(
      `INSERT INTO chunks (stream_id, seq, first_us, last_us, period_us, first_utc_ms, last_utc_ms,
           utc_minus_record_ms, n, gaps, extremes, data, reduced) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    ).run(
      streamId,
      message.seq,
      coverage.firstUs,
      coverage.lastUs,
      coverage.periodUs,
      coverage.firstUs / 1000 + body.utcMinusRecordMs,
      coverage.lastUs / 1000 + body.utcMinusRecordMs,
      body.utcMinusRecordMs,
      chunk.n,
      JSON.stringify(coverage.gaps),
      JSON.stringify(extremes),
      bytes,
      body.reduced ? JSON.stringify(body.reduced.extremes) : null,
    );
  }

  /** The version in the later record stands; false when the id belongs to another stream's pass. */
  private upsertPass(streamId: number, seq: number, pass: PassMessage): boolean {
    const kept = this.sql('SELECT stream_id, seq FROM passes WHERE pass_id = ?').get(pass.passId) as
      | { stream_id: number; seq: number }
      | undefined;
    if (kept && kept.stream_id !== streamId) return false;
    if (kept && kept.seq > seq) return true;
    const { passId, origin, site, rig, joint, side, startUtc, endUtc, deviations } = pass;
    this.sql(
      `INSERT INTO passes (pass_id, stream_id, seq, origin, site, rig, joint, start_utc, end_utc, deviations, message)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
         ON CONFLICT (pass_id) DO UPDATE SET seq = excluded.seq, joint = excluded.joint,
           start_utc = excluded.start_utc, end_utc = excluded.end_utc, deviations = excluded.deviations,
           message = excluded.message`,
    ).run(
      passId,
      streamId,
      seq,
      origin,
      site,
      rig,
      joint,
      startUtc,
      endUtc,
      deviations.length,
      JSON.stringify(pass),
    );
    this.sql('DELETE FROM deviations WHERE pass_id = ?').run(passId);
    const insert = this.sql(
      `INSERT INTO deviations (pass_id, n, origin, site, rig, joint, side, procedure_pass, at_utc, deviation)
       VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    );
    deviations.forEach((deviation, n) => {
      const { procedurePass } = pass.pass;
      const atUtc = deviationStart(deviation, pass);
      insert.run(passId, n, origin, site, rig, joint, side, procedurePass, atUtc, JSON.stringify(deviation));
    });
    return true;
  }
}
