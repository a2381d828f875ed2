/** Rows of settled stretches: written by settling and, of what was let go, as summaries alone. */
import type { Prepare } from './statements.ts';
import type { PackedStretch, StretchSummary } from './stretch.ts';

export function insertStretch(
  sql: Prepare,
  streamId: number,
  records: readonly { readonly seq: number }[],
  packed: StretchSummary & Partial<Pick<PackedStretch, 'texts' | 'data'>>,
): number {
  const { wall, firstUs, lastUs } = packed;
  const inserted = sql(
    `INSERT INTO stretches (stream_id, first_seq, last_seq, first_us, last_us, period_us, first_utc_ms, last_utc_ms,
       n, gaps, wall, extremes, zoom, texts, data) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
  ).run(
    streamId,
    records[0]!.seq,
    records.at(-1)!.seq,
    firstUs,
    lastUs,
    packed.periodUs,
    firstUs / 1000 + wall[0]![1],
    lastUs / 1000 + wall.at(-1)![1],
    packed.n,
    JSON.stringify(packed.gaps),
    JSON.stringify(wall),
    JSON.stringify(packed.extremes),
    packed.zoom,
    packed.texts ?? null,
    packed.data ?? null,
  );
  return Number(inserted.lastInsertRowid);
}
