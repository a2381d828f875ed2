/** What is left of records that let their samples go, and the summaries that stay in their place. */
import { createHash } from 'node:crypto';
import { type RecordBody, recordBodySchema } from '#core/messages/record';
import { reducedHashInput } from '#core/record/chain';
import { isEmptied, pruneRecord, thinRecord } from '#core/record/reduce-record';
import type { ChunkColumns } from '#core/sample/chunk';
import { decodeChunk } from '#core/sample/codec';
import { verifyRecord } from '../ingest/verify-record.ts';
import type { PruneStream, PruneWish } from './pruning.ts';
import { RecordBodies, type SettledRow } from './record-bodies.ts';
import type { RecordTable } from './record-table.ts';
import type { Prepare } from './statements.ts';
import type { VerifiedRecord } from './store.ts';
import { type Summarised, summaryOf } from './stretch.ts';
import { insertStretch } from './stretch-rows.ts';

export interface PruneRow {
  readonly id: number;
  readonly seq: number;
  readonly prev: string;
  readonly hash: string;
  readonly body: string;
  readonly chunkId: number;
  readonly chunkBytes: number;
}

interface Freed {
  readonly records: number;
  readonly bytes: number;
}

interface Left {
  readonly verified: VerifiedRecord;
  /** What text and samples take now. */
  readonly bytes: number;
}

const NOTHING: Freed = { records: 0, bytes: 0 };

export class PrunedRecords {
  private readonly sql: Prepare;
  private readonly records: RecordTable;

  constructor(sql: Prepare, records: RecordTable) {
    this.sql = sql;
    this.records = records;
  }

  /** Records as they came; one that would take no less, or cannot be read, stays as it is. */
  takeRows(stream: PruneStream, rows: readonly PruneRow[], keep: PruneWish['keep']): Freed {
    let bytes = 0;
    const gone: PruneRow[] = [];
    const lefts: Left[] = [];
    for (const row of rows) {
      const left = leftOf(stream, row, keep);
      const freed = left ? row.body.length + row.chunkBytes - left.bytes : 0;
      if (!left || freed <= 0) continue;
      bytes += freed;
      gone.push(row);
      lefts.push(left);
    }
    if (keep === 'none') this.summarise(stream.streamId, gone);
    gone.forEach(({ id }, i) => {
      this.records.reduce(id, stream.streamId, lefts[i]!.verified);
    });
    return { records: gone.length, bytes };
  }

  /** A settled stretch, whole or not at all. */
  takeStretch(stream: PruneStream, stretchId: number, keep: PruneWish['keep']): Freed {
    const bodies = new RecordBodies(this.sql);
    const rows = this.sql(
      'SELECT id, seq, prev, hash, body, settled FROM records WHERE stream_id = ? AND settled = ? ORDER BY seq',
    ).all(stream.streamId, stretchId) as (SettledRow & { id: number; hash: string })[];
    const { size } = this.sql('SELECT length(data) + length(texts) AS size FROM stretches WHERE id = ?').get(
      stretchId,
    ) as { size: number };
    const whole = rows.map(row => bodies.whole(stream.streamId, row));
    const lefts = whole.map(row => leftOf(stream, row, keep));
    const after = lefts.reduce((sum, left, i) => sum + (left?.bytes ?? 0) - rows[i]!.body.length, 0);
    // Dense samples take less than their seconds would, unless they are many a second.
    if (after >= size || lefts.some(left => left === null)) return NOTHING;
    whole.forEach(({ id, prev }, i) => {
      this.sql('UPDATE records SET settled = NULL, prev = ? WHERE id = ?').run(prev, id);
      this.records.reduce(id, stream.streamId, lefts[i]!.verified);
    });
    if (keep === 'none')
      this.sql('UPDATE stretches SET data = NULL, texts = NULL WHERE id = ?').run(stretchId);
    else this.sql('DELETE FROM stretches WHERE id = ?').run(stretchId);
    return { records: rows.length, bytes: size - after };
  }

  /** Least and greatest stay, a summary for each run of records that follow one another. */
  private summarise(streamId: number, rows: readonly PruneRow[]): void {
    let run: { seq: number; summarised: Summarised }[] = [];
    const finish = (): void => {
      if (run.length > 0) {
        insertStretch(this.sql, streamId, run, summaryOf(run.map(({ summarised }) => summarised)));
      }
      run = [];
    };
    for (const { seq, chunkId } of rows) {
      const summarised = this.summarised(chunkId);
      const last = run.at(-1);
      const follows =
        last && last.seq === seq - 1 && last.summarised.utcMinusRecordMs === summarised.utcMinusRecordMs;
      if (!follows) finish();
      run.push({ seq, summarised });
    }
    finish();
  }

  private summarised(chunkId: number): Summarised {
    const row = this.sql(
      'SELECT first_us, last_us, period_us, gaps, utc_minus_record_ms, data, reduced FROM chunks WHERE id = ?',
    ).get(chunkId) as {
      first_us: number;
      last_us: number;
      period_us: number | null;
      gaps: string;
      utc_minus_record_ms: number;
      data: Uint8Array;
      reduced: string | null;
    };
    const chunk = decodeChunk(row.data);
    const common = {
      coverage: {
        firstUs: row.first_us,
        lastUs: row.last_us,
        periodUs: row.period_us,
        gaps: JSON.parse(row.gaps),
      },
      utcMinusRecordMs: row.utc_minus_record_ms,
    };
    if (row.reduced === null) return { chunk, ...common };
    const extremes = JSON.parse(row.reduced) as Record<string, ([number, number] | null)[]>;
    const column = (end: 0 | 1): ChunkColumns =>
      Object.fromEntries(
        Object.entries(extremes).map(([name, pairs]) => [
          name,
          Float64Array.from(pairs, pair => pair?.[end] ?? Number.NaN),
        ]),
      );
    return { chunk: { ...chunk, columns: column(0) }, greatest: column(1), ...common };
  }
}

/** Null where it cannot be read. It passes the check that an edge's reduced record has to pass, or it is not taken. */
function leftOf(
  { origin, stream, site, rig }: PruneStream,
  { seq, prev, hash, body }: Pick<PruneRow, 'seq' | 'prev' | 'hash' | 'body'>,
  keep: PruneWish['keep'],
): Left | null {
  const parsed = recordBodySchema.safeParse(parse(body));
  if (!parsed.success) return null;
  const left: RecordBody | null = keep === 'seconds' ? thinRecord(parsed.data) : pruneRecord(parsed.data);
  if (!left) return null;
  const text = keep === 'none' && isEmptied(left) ? '' : JSON.stringify(left);
  const bodyHash = createHash('sha256')
    .update(reducedHashInput({ hash, body: text }), 'utf8')
    .digest('hex');
  const to = keep === 'seconds' ? 'thinned' : 'pruned';
  const message = {
    ...{ origin, stream, seq, prev, hash, historical: true, body: text },
    reduced: { to, bodyHash },
  } as const;
  const verified = verifyRecord({ site, rig }, message);
  if (!verified.ok || verified.record.unreadable !== null) return null;
  const bytes = text.length + (verified.record.samples?.bytes.length ?? 0);
  return { verified: verified.record, bytes };
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
