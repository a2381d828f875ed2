/** Stored samples by time: which chunks a range needs, and their bytes. */
import type { RigAddress } from '#core/topics/topics';
import type { Prepare } from './statements.ts';
import type { ChunkRow, NewestSample, SampleRange, SampleSpan } from './store.ts';
import type { StreamTable } from './stream-table.ts';

interface Row {
  id: number;
  n: number;
  first_us: number;
  last_us: number;
  period_us: number | null;
  first_utc_ms: number;
  last_utc_ms: number;
  utc_minus_record_ms: number;
  gaps: string;
  extremes: string;
  reduced: string | null;
}

const COLUMNS =
  'id, n, first_us, last_us, period_us, first_utc_ms, last_utc_ms, utc_minus_record_ms, gaps, extremes, reduced';

export class SampleTable {
  private readonly sql: Prepare;
  private readonly streams: StreamTable;

  constructor(sql: Prepare, streams: StreamTable) {
    this.sql = sql;
    this.streams = streams;
  }

  /** Of the rig's streams the newest that has samples in the range; a named one only itself. */
  span(address: RigAddress, range: SampleRange): SampleSpan | null {
    for (const id of this.streams.idsOf(address)) {
      const stream = this.nameOf(id);
      if (range.kind === 'record' && range.stream !== undefined && range.stream !== stream) continue;
      const bounds = range.kind === 'record' ? range : this.toRecordTime(id, range.fromMs, range.toMs);
      if (!bounds) continue;
      const rows = this.chunksIn(id, bounds.fromUs, bounds.toUs);
      const touches = rows.some(row => row.last_us >= bounds.fromUs && row.first_us <= bounds.toUs);
      const last = rows.at(-1);
      if (!last || !touches) continue;
      return {
        stream,
        utcMinusRecordMs: last.utc_minus_record_ms,
        fromUs: bounds.fromUs,
        toUs: bounds.toUs,
        chunks: rows.map(chunkOf),
      };
    }
    return null;
  }

  newest(address: RigAddress): NewestSample | null {
    for (const id of this.streams.idsOf(address)) {
      const row = this.sql(
        'SELECT last_us, last_utc_ms FROM chunks WHERE stream_id = ? ORDER BY first_us DESC LIMIT 1',
      ).get(id) as { last_us: number; last_utc_ms: number } | undefined;
      if (row) return { stream: this.nameOf(id), lastUs: row.last_us, lastUtcMs: row.last_utc_ms };
    }
    return null;
  }

  bytes(id: number): Uint8Array {
    const row = this.sql('SELECT data FROM chunks WHERE id = ?').get(id) as { data: Uint8Array };
    return row.data;
  }

  private chunksIn(id: number, fromUs: number, toUs: number): Row[] {
    const rows = this.sql(
      `SELECT ${COLUMNS} FROM chunks WHERE stream_id = ? AND first_us BETWEEN ? AND ? ORDER BY first_us`,
    ).all(id, fromUs, toUs) as Row[];
    const before = this.sql(
      `SELECT ${COLUMNS} FROM chunks WHERE stream_id = ? AND first_us < ? ORDER BY first_us DESC LIMIT 1`,
    ).get(id, fromUs) as Row | undefined;
    const after = this.sql(
      `SELECT ${COLUMNS} FROM chunks WHERE stream_id = ? AND first_us > ? ORDER BY first_us LIMIT 1`,
    ).get(id, toUs) as Row | undefined;
    return [...(before ? [before] : []), ...rows, ...(after ? [after] : [])];
  }

  /** Each end by the clock map of the chunk nearest to it. */
  private toRecordTime(id: number, fromMs: number, toMs: number): { fromUs: number; toUs: number } | null {
    const at = (ms: number): Row | undefined =>
      (this.sql(
        `SELECT ${COLUMNS} FROM chunks WHERE stream_id = ? AND first_utc_ms <= ? ORDER BY first_utc_ms DESC LIMIT 1`,
      ).get(id, ms) ??
        this.sql(
          `SELECT ${COLUMNS} FROM chunks WHERE stream_id = ? AND first_utc_ms > ? ORDER BY first_utc_ms LIMIT 1`,
        ).get(id, ms)) as Row | undefined;
    const first = at(fromMs);
    const last = at(toMs);
    if (!first || !last) return null;
    return {
      fromUs: Math.max(0, Math.round((fromMs - first.utc_minus_record_ms) * 1000)),
      toUs: Math.max(0, Math.round((toMs - last.utc_minus_record_ms) * 1000)),
    };
  }

  private nameOf(id: number): string {
    return (this.sql('SELECT stream FROM streams WHERE id = ?').get(id) as { stream: string }).stream;
  }
}

function chunkOf(row: Row): ChunkRow {
  return {
    id: row.id,
    n: row.n,
    firstUs: row.first_us,
    lastUs: row.last_us,
    periodUs: row.period_us,
    utcMinusRecordMs: row.utc_minus_record_ms,
    // Most chunks have none, and a long range reads many.
    gaps: row.gaps === '[]' ? [] : JSON.parse(row.gaps),
    extremes: JSON.parse(row.extremes),
    reduced: row.reduced === null ? null : JSON.parse(row.reduced),
  };
}
