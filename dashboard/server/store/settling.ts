/**
 * Records whose samples are a settled part of their stream give them to a stretch (stretch.ts): once a run of them is
 * whole, acknowledged, and old enough that nobody asks for it live. A step is one stretch, one transaction, some tens
 * of milliseconds; cut off at any moment, the store is as it was before the step or after it.
 *
 * Before anything of a record is dropped, its text is put together again out of what will stand in the file, and has
 * to have the hash that the chain names. One that does not is kept whole as it came.
 */
import { createHash } from 'node:crypto';
import type { Database } from 'better-sqlite3';
import { recordHashInput } from '#core/record/chain';
import { decodeChunk } from '#core/sample/codec';
import type { Prepare } from './statements.ts';
import {
  type PackedStretch,
  packStretch,
  type SettlingRecord,
  UnpackedStretch,
  withoutSamples,
} from './stretch.ts';
import { insertStretch } from './stretch-rows.ts';

export interface SettlingOptions {
  /** Samples in a stretch. */
  readonly samples: number;
  /** A run is settled this long after its last record came, ms. */
  readonly afterMs: number;
  /** A run that stays short is settled this long after its last record came, ms. */
  readonly restAfterMs: number;
}

export const SETTLING: SettlingOptions = { samples: 8000, afterMs: 600_000, restAfterMs: 3_600_000 };

interface Row {
  id: number;
  seq: number;
  prev: string;
  hash: string;
  origin: string;
  received_ms: number;
  body: string;
  first_us: number;
  last_us: number;
  period_us: number | null;
  gaps: string;
  utc_minus_record_ms: number;
  data: Uint8Array;
  /** 0: kept as it is, for it gave samples away, cannot be read, or was looked at. */
  whole: number;
}

interface Candidate extends SettlingRecord {
  readonly row: Row;
}

interface Stream {
  readonly id: number;
  readonly stream: string;
  readonly upto: number;
}

/** Rows read at once: a run of one-second batches at 100 Hz. */
const PAGE = 100;
/** More records than any run holds, of an edge that samples slowly. */
const MOST_RECORDS = 2000;
/** Over a longer silence a stretch would hide where its samples lie. */
const BREAK_US = 600_000_000;
/** A clock that was put by more ends a stretch: samples are looked for by the wall clock, too. */
const PUT_MS = 1000;

export class Settling {
  private readonly db: Database;
  private readonly sql: Prepare;
  private readonly options: SettlingOptions;
  /** By stream, up to where nothing is to be done but wait. */
  private readonly looked = new Map<number, number>();

  constructor(db: Database, sql: Prepare, options: SettlingOptions = SETTLING) {
    this.db = db;
    this.sql = sql;
    this.options = options;
  }

  /** Settles one stretch, at most; false when there is nothing to settle at `nowMs`. */
  step(nowMs: number): boolean {
    const streams = this.sql('SELECT id, stream, upto FROM streams ORDER BY id').all() as Stream[];
    return streams.some(stream => this.stepStream(stream, nowMs));
  }

  private stepStream(stream: Stream, nowMs: number): boolean {
    const run = this.nextRun(stream, nowMs);
    if (run === null || run === 'more') return run === 'more';
    const packed = packStretch(run);
    if (packed && this.holds(stream, run, packed)) this.take(stream.id, run, packed);
    else this.leave(run);
    return true;
  }

  /** The next records that are a stretch, in order; null where there are none yet, `more` where a page had none. */
  private nextRun(stream: Stream, nowMs: number): Candidate[] | 'more' | null {
    const run: Candidate[] = [];
    let samples = 0;
    let after = this.looked.get(stream.id) ?? 0;
    for (let more = true; more; ) {
      const rows = this.rowsAfter(stream, after);
      more = rows.length === PAGE;
      for (const row of rows) {
        after = row.seq;
        const candidate = candidateOf(row);
        const isFull = samples >= this.options.samples || run.length >= MOST_RECORDS;
        if (run.length > 0 && (isFull || !candidate || !follows(run.at(-1)!, candidate))) {
          return this.isDue(run, this.options.afterMs, nowMs) ? run : null;
        }
        // It stays as it is.
        if (!candidate) this.looked.set(stream.id, row.seq);
        else {
          run.push(candidate);
          samples += candidate.chunk.n;
        }
      }
      if (more && run.length === 0) return 'more';
      if (rows.length > 0 && !this.mayBeDue(rows.at(-1)!, nowMs)) break;
    }
    if (run.length === 0) return null;
    const waitMs = samples >= this.options.samples ? this.options.afterMs : this.options.restAfterMs;
    return this.isDue(run, waitMs, nowMs) ? run : null;
  }

  private rowsAfter({ id, upto }: Stream, seq: number): Row[] {
    return this.sql(
      `SELECT records.id, seq, prev, hash, origin, received_ms, body, first_us, last_us, period_us, gaps,
         utc_minus_record_ms, data, settled IS NULL AND reduced_to IS NULL AND unreadable IS NULL AS whole
       FROM chunks JOIN records USING (stream_id, seq)
       WHERE stream_id = ? AND seq > ? AND seq <= ? ORDER BY seq LIMIT ${PAGE}`,
    ).all(id, seq, upto) as Row[];
  }

  private mayBeDue(row: Row, nowMs: number): boolean {
    return this.isOld(row, this.options.afterMs, nowMs);
  }

  private isDue(run: readonly Candidate[], waitMs: number, nowMs: number): boolean {
    return this.isOld(run.at(-1)!.row, waitMs, nowMs);
  }

  /** One that came far in the future came when the truck's clock was ahead: how old it is nobody knows any more. */
  private isOld({ received_ms: receivedMs }: Row, waitMs: number, nowMs: number): boolean {
    return receivedMs + waitMs <= nowMs || receivedMs - this.options.restAfterMs > nowMs;
  }

  /** What is to be written gives every text back as it was hashed. */
  private holds({ stream }: Stream, run: readonly Candidate[], packed: PackedStretch): boolean {
    const unpacked = new UnpackedStretch(packed);
    return run.every(({ row: { seq, prev, hash } }, i) => {
      const body = unpacked.text(seq, packed.kept[i]!);
      return body !== null && sha256(recordHashInput({ prev, stream, seq, body })) === hash;
    });
  }

  private take(streamId: number, run: readonly Candidate[], packed: PackedStretch): void {
    this.db.transaction(() => {
      const id = insertStretch(this.sql, streamId, run, packed);
      // Taken out and put in anew: rows that only grew small would leave their pages nearly empty.
      const remove = this.sql('DELETE FROM records WHERE id = ? AND settled IS NULL AND reduced_to IS NULL');
      for (const { row } of run) {
        // Another program let its samples go since they were read: the next step sees what is there.
        if (remove.run(row.id).changes !== 1) throw new Error(`record ${row.seq} changed while it settled`);
      }
      const put = this.sql(
        `INSERT INTO records (id, stream_id, seq, prev, hash_bytes, origin, received_ms, body, settled)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
      );
      run.forEach(({ row }, i) => {
        const prev = this.hashBefore(streamId, row.seq) === row.prev ? '' : row.prev;
        const hash = Buffer.from(row.hash, 'hex');
        put.run(row.id, streamId, row.seq, prev, hash, row.origin, row.received_ms, packed.kept[i], id);
      });
      const removeChunk = this.sql('DELETE FROM chunks WHERE stream_id = ? AND seq = ?');
      for (const { seq } of run) removeChunk.run(streamId, seq);
    })();
  }

  /** Those of the run that do not fit are never looked at again; the others are, without them. */
  private leave(run: readonly Candidate[]): void {
    this.db.transaction(() => {
      const odd = run.filter(({ body, chunk }) => withoutSamples(body, chunk) === null);
      for (const { row } of odd.length > 0 ? odd : run) {
        this.sql('UPDATE records SET settled = 0 WHERE id = ?').run(row.id);
      }
    })();
  }

  private hashBefore(streamId: number, seq: number): string | null {
    const row = this.sql('SELECT hash FROM records WHERE stream_id = ? AND seq = ?').get(streamId, seq - 1);
    return (row as { hash: string } | undefined)?.hash ?? null;
  }
}

/** Null where it is not whole, or its samples cannot be read. */
function candidateOf(row: Row): Candidate | null {
  if (row.whole === 0) return null;
  try {
    const coverage = {
      firstUs: row.first_us,
      lastUs: row.last_us,
      periodUs: row.period_us,
      gaps: row.gaps === '[]' ? [] : JSON.parse(row.gaps),
    };
    const { seq, body, utc_minus_record_ms: utcMinusRecordMs } = row;
    return { seq, body, chunk: decodeChunk(row.data), coverage, utcMinusRecordMs, row };
  } catch {
    return null;
  }
}

function follows(before: Candidate, next: Candidate): boolean {
  const [a, b] = [before.chunk, next.chunk];
  const stepUs = b.tUs[0]! - a.tUs[a.n - 1]!;
  return (
    stepUs > 0 &&
    stepUs <= BREAK_US &&
    Math.abs(next.utcMinusRecordMs - before.utcMinusRecordMs) <= PUT_MS &&
    (a.lengthUs === null) === (b.lengthUs === null) &&
    Object.keys(a.columns).join() === Object.keys(b.columns).join()
  );
}

function sha256(text: string): string {
  return createHash('sha256').update(text, 'utf8').digest('hex');
}
