/**
 * What a verification reads of a store, in pages: nothing is held in memory but one page, and no read lasts long
 * enough to be in a running dashboard's way. Rows come as they stand in the file; nothing of them is believed.
 */
import { JOURNAL_START } from '#core/journal/signed-entry';
import type { AuditEntry } from '#core/messages/api-account';
import type { SignedSeal } from '#core/record/seal';
import { type BodyRow, RecordBodies, type SettledRow } from '../store/record-bodies.ts';
import type { Prepare } from '../store/statements.ts';
import { readBody } from './read-body.ts';

export interface StreamRow {
  readonly id: number;
  readonly site: string;
  readonly rig: string;
  readonly stream: string;
  /** Null while the stream's beginning has not come. */
  readonly first: number | null;
  readonly upto: number;
  readonly head: string;
}

export interface RecordRow {
  readonly seq: number;
  readonly prev: string;
  readonly hash: string;
  readonly body: string;
  readonly unreadable: string | null;
  /** Null where the batch is whole. */
  readonly reducedTo: string | null;
  readonly bodyHash: string | null;
}

export interface EntryRow {
  readonly number: number;
  readonly id: string;
  readonly at: string;
  readonly origin: string;
  readonly author: string;
  readonly shift_date: string;
  readonly reason: string | null;
  readonly corrects: string | null;
  readonly kind: string;
  readonly subject: string;
  readonly body: string;
  /** Null, all of them, where the entry carries no signature. */
  readonly prev: string | null;
  readonly hash: string | null;
  readonly key: string | null;
  readonly signed_as: string | null;
  readonly signature: string | null;
}

export interface StoredPass {
  readonly seq: number;
  readonly origin: string;
  readonly site: string;
  readonly rig: string;
  readonly joint: string | null;
  readonly message: string;
}

/** A pass that counts for a joint, or did. */
export interface JointPass {
  readonly stream: StreamRow;
  readonly passId: string;
  /** The batch that holds its latest version. */
  readonly seq: number;
  readonly message: string;
}

/** A pass's seal, and the record that carried it. */
export interface CarriedSeal {
  readonly seq: number;
  readonly signed: SignedSeal;
}

const PAGE = 200;
/** The seal of a pass comes with the next batches; after an outage of its edge a little later. */
const SEAL_WITHIN = 2000;
const ENTRY_COLUMNS = `j.number, id, at, origin, author, shift_date, reason, corrects, kind, subject, body,
  prev, hash, key, signed_as, signature
  FROM journal AS j LEFT JOIN journal_signatures AS s ON s.number = j.number`;
/** Out of an index alone: passes are long, and a screen waits for one joint of many years. */
const OF_JOINT = 'SELECT rowid FROM passes WHERE joint = ?';
const STREAM_COLUMNS = 'streams.id, streams.site, streams.rig, stream, first_seq AS first, upto, head';

export class VerifyReader {
  private readonly sql: Prepare;
  private readonly bodies: RecordBodies;

  constructor(sql: Prepare) {
    this.sql = sql;
    this.bodies = new RecordBodies(sql);
  }

  streams(): StreamRow[] {
    return this.sql(`SELECT ${STREAM_COLUMNS} FROM streams ORDER BY id`).all() as StreamRow[];
  }

  /** Recorded under the joint or moved to it, in the order welded. */
  passesOf(joint: string): JointPass[] {
    const rows = this.sql(
      `SELECT ${STREAM_COLUMNS}, pass_id AS passId, seq, message FROM passes JOIN streams ON streams.id = stream_id
       WHERE passes.rowid IN (${OF_JOINT} UNION ALL SELECT rowid FROM passes WHERE pass_id IN
         (SELECT body ->> 'passId' FROM journal WHERE kind = 'passMoved' AND body ->> 'joint' = ?))
       ORDER BY start_utc, pass_id`,
    ).all(joint, joint) as (StreamRow & Omit<JointPass, 'stream'>)[];
    return rows.map(({ passId, seq, message, ...stream }) => ({ stream, passId, seq, message }));
  }

  /** Where a pass is recorded; null where it is not shown. */
  recorded(passId: string): { streamId: number; seq: number; hash: string } | null {
    const row = this.sql(
      `SELECT records.stream_id AS streamId, records.seq, hash FROM passes JOIN records
         ON records.stream_id = passes.stream_id AND records.seq = passes.seq WHERE pass_id = ?`,
    ).get(passId);
    return (row as { streamId: number; seq: number; hash: string } | undefined) ?? null;
  }

  /** The records whose samples lie inside a pass, and that of the pass itself. */
  batchesOf(
    streamId: number,
    { seq, message }: Pick<JointPass, 'seq' | 'message'>,
  ): { first: number; last: number } {
    const row = this.sql(
      `SELECT min(first) AS first, max(last) AS last FROM (
         SELECT seq AS first, seq AS last, last_us, first_us FROM chunks WHERE stream_id = @streamId UNION ALL
         SELECT first_seq, last_seq, last_us, first_us FROM stretches WHERE stream_id = @streamId)
       WHERE last_us >= @message ->> 'startUs' AND first_us <= @message ->> 'endUs'`,
    ).get({ streamId, message }) as { first: number | null; last: number | null };
    return { first: Math.min(row.first ?? seq, seq), last: Math.max(row.last ?? seq, seq) };
  }

  /** The seal of a pass as its record carries it; the last one where there are more. */
  sealOf(streamId: number, seq: number, passId: string): CarriedSeal | null {
    const rows = this.sql(
      `SELECT seq, body, settled FROM records
       WHERE stream_id = ? AND seq > ? AND seq <= ? AND instr(body, ?) > 0 ORDER BY seq DESC`,
    ).all(streamId, seq, seq + SEAL_WITHIN, `"seals":[`) as BodyRow[];
    for (const row of rows) {
      const signed = readBody({ body: this.bodies.text(row) ?? '' })?.seals?.findLast(
        ({ seal }) => passIdOf(seal) === passId,
      );
      if (signed) return { seq: row.seq, signed };
    }
    return null;
  }

  /** The seals kept of a record, in their order, as text. */
  keptSeals(streamId: number, seq: number): string[] {
    const rows = this.sql(
      'SELECT document FROM seals WHERE stream_id = ? AND seq = ? ORDER BY place',
    ).pluck();
    return rows.all(streamId, seq) as string[];
  }

  /** The first record after `seq` that a seal was kept of and that is not here; null where there is none. */
  sealWithoutRecord(streamId: number, seq: number): number | null {
    const row = this.sql(
      `SELECT min(seq) FROM seals WHERE stream_id = ? AND seq > ? AND NOT EXISTS
         (SELECT 1 FROM records WHERE records.stream_id = seals.stream_id AND records.seq = seals.seq)`,
    ).pluck();
    return row.get(streamId, seq) as number | null;
  }

  /** Keys that a rig's seals may be signed with: trusted, or trusted until they announced the next. */
  sealKeys({ site, rig }: Pick<StreamRow, 'site' | 'rig'>): { keyId: string; publicKey: string }[] {
    return this.sql(
      `SELECT key_id AS keyId, public_key AS publicKey FROM seal_keys
       WHERE site = ? AND rig = ? AND state IN ('pinned', 'retired') ORDER BY n`,
    ).all(site, rig) as { keyId: string; publicKey: string }[];
  }

  /** Passes that a seal names for a joint, and that are shown nowhere. */
  hiddenPasses(joint: string): { site: string; rig: string; stream: string; passId: string }[] {
    return this.sql(
      `SELECT streams.site, streams.rig, stream, pass_id AS passId
       FROM seals JOIN streams ON streams.id = stream_id
       WHERE pass_id IS NOT NULL AND seals.state <> 'failed' AND document ->> '$.seal.pass.joint' = ?
         AND NOT EXISTS (SELECT 1 FROM passes WHERE passes.pass_id = seals.pass_id)`,
    ).all(joint) as { site: string; rig: string; stream: string; passId: string }[];
  }

  /** The hash of a batch; null where it is not here. */
  hashOf(streamId: number, seq: number): string | null {
    return this.hashes(streamId, seq - 1, seq)[0]?.hash ?? null;
  }

  /** Records of a stream after `seq`, to `upto` at most; one page. */
  records(streamId: number, seq: number, upto: number): RecordRow[] {
    const rows = this.sql(
      `SELECT seq, prev, hash, body, unreadable, reduced_to AS reducedTo, body_hash AS bodyHash, settled FROM records
       WHERE stream_id = ? AND seq > ? AND seq <= ? ORDER BY seq LIMIT ${PAGE}`,
    ).all(streamId, seq, upto) as (RecordRow & SettledRow)[];
    return rows.map(row => this.bodies.whole(streamId, row));
  }

  /** Batch hashes after `seq` to `upto`, with their numbers; one page. */
  hashes(streamId: number, seq: number, upto: number): { seq: number; hash: string }[] {
    return this.sql(
      'SELECT seq, hash FROM records WHERE stream_id = ? AND seq > ? AND seq <= ? ORDER BY seq LIMIT 5000',
    ).all(streamId, seq, upto) as { seq: number; hash: string }[];
  }

  highest(streamId: number): number {
    const row = this.sql('SELECT coalesce(max(seq), 0) FROM records WHERE stream_id = ?').pluck();
    return row.get(streamId) as number;
  }

  conflicts(): number {
    return this.sql('SELECT count(*) FROM record_conflicts').pluck().get() as number;
  }

  samples(streamId: number, seq: number): Uint8Array | null {
    const row = this.sql(
      `SELECT settled, data FROM records LEFT JOIN chunks USING (stream_id, seq) WHERE stream_id = ? AND seq = ?`,
    ).get(streamId, seq) as { settled: number | null; data: Uint8Array | null } | undefined;
    if (row?.settled) return this.bodies.sampleBytes(row.settled, seq);
    return row?.data ?? null;
  }

  pass(streamId: number, passId: string): StoredPass | null {
    const row = this.sql(
      'SELECT seq, origin, site, rig, joint, message FROM passes WHERE stream_id = ? AND pass_id = ?',
    );
    return (row.get(streamId, passId) as StoredPass | undefined) ?? null;
  }

  /** Passes shown of records up to `upto`, and of records that are not here. */
  passIds(streamId: number, upto: number): string[] {
    const rows = this.sql(
      `SELECT pass_id FROM passes WHERE stream_id = ? AND (seq <= ? OR NOT EXISTS
         (SELECT 1 FROM records WHERE records.stream_id = passes.stream_id AND records.seq = passes.seq))`,
    ).pluck();
    return rows.all(streamId, upto) as string[];
  }

  deviations(passId: string): { joint: string | null; deviation: string }[] {
    const rows = this.sql('SELECT joint, deviation FROM deviations WHERE pass_id = ? ORDER BY n');
    return rows.all(passId) as { joint: string | null; deviation: string }[];
  }

  event(streamId: number, eventId: string): string | null {
    const row = this.sql('SELECT message FROM events WHERE stream_id = ? AND event_id = ?').pluck();
    return (row.get(streamId, eventId) as string | undefined) ?? null;
  }

  /** Is `text` in a record before `seq`? Slow: only asked where something does not fit. */
  isBefore(streamId: number, seq: number, text: string): boolean {
    const row = this.sql(
      'SELECT 1 FROM records WHERE stream_id = ? AND seq < ? AND instr(body, ?) > 0 LIMIT 1',
    );
    return row.get(streamId, seq, text) !== undefined;
  }

  /** Entries after `number`, with their signatures; one page. */
  entries(number: number): EntryRow[] {
    return this.sql(`SELECT ${ENTRY_COLUMNS} WHERE j.number > ? ORDER BY j.number LIMIT ${PAGE}`).all(
      number,
    ) as EntryRow[];
  }

  /** Lines of the log of accounts behind `number`, in order. */
  accountLog(number: number): AuditEntry[] {
    return this.sql(`SELECT * FROM audit WHERE number > ? ORDER BY number LIMIT ${PAGE}`).all(
      number,
    ) as AuditEntry[];
  }

  /** Everything entered about a joint, and every move of a pass to or from it, in order. */
  entriesAbout(joint: string): EntryRow[] {
    return this.sql(
      `SELECT ${ENTRY_COLUMNS} WHERE subject = ? OR (kind = 'passMoved' AND body ->> 'passId' IN
         (SELECT pass_id FROM passes WHERE rowid IN (${OF_JOINT}))) ORDER BY j.number`,
    ).all(`joint ${joint}`, joint) as EntryRow[];
  }

  /** Hash of a signed entry; that of nothing at 0, null where it carries none. */
  hashOfEntry(number: number): string | null {
    if (number === 0) return JOURNAL_START;
    const hash = this.sql('SELECT hash FROM journal_signatures WHERE number = ?').pluck();
    return (hash.get(number) as string | undefined) ?? null;
  }

  lastSignature(): { number: number; hash: string } | null {
    const row = this.sql('SELECT number, hash FROM journal_signatures ORDER BY number DESC LIMIT 1').get();
    return (row as { number: number; hash: string } | undefined) ?? null;
  }

  /** Public keys by their fingerprint, as the store says. */
  dashboardKeys(): Map<string, string> {
    const rows = this.sql('SELECT fingerprint, public_key FROM dashboard_keys').raw().all();
    return new Map(rows as [string, string][]);
  }
}

function passIdOf(seal: Readonly<Record<string, unknown>>): unknown {
  return seal['kind'] === 'pass' ? (seal['pass'] as { passId?: unknown } | undefined)?.passId : null;
}
