/** Rows that hold samples, as they came and settled, read as one kind of thing. */
import type { ChunkRow } from './store.ts';

export type Held = Pick<ChunkRow, 'id' | 'kind' | 'record'>;

export interface HolderRow {
  id: number;
  kind: ChunkRow['kind'];
  n: number;
  first_us: number;
  last_us: number;
  period_us: number | null;
  utc_minus_record_ms: number | null;
  wall: string | null;
  gaps: string;
  extremes: string;
  reduced: string | null;
  stream_id: number | null;
  seq: number | null;
}

const COMMON = 'id, n, first_us, last_us, period_us, gaps, extremes';

/** `known`: of rows that may be known already the id alone, negative where samples were let go. */
export const HOLDERS: readonly { table: string; columns: string; known?: string }[] = [
  {
    table: 'chunks',
    columns: `${COMMON}, 'batch' AS kind, utc_minus_record_ms, NULL AS wall, reduced, stream_id, seq`,
  },
  {
    table: 'stretches',
    columns: `${COMMON}, iif(data IS NULL, 'summary', 'stretch') AS kind, NULL AS utc_minus_record_ms, wall,
      NULL AS reduced, NULL AS stream_id, NULL AS seq`,
    known: 'iif(data IS NULL, -id, id)',
  },
];

export function chunkOf(row: HolderRow): ChunkRow {
  const wall: ChunkRow['wall'] =
    row.wall === null ? [[row.first_us, row.utc_minus_record_ms ?? 0]] : JSON.parse(row.wall);
  return {
    id: row.id,
    kind: row.kind,
    ...(row.stream_id === null || row.seq === null
      ? {}
      : { record: { streamId: row.stream_id, seq: row.seq } }),
    n: row.n,
    firstUs: row.first_us,
    lastUs: row.last_us,
    periodUs: row.period_us,
    utcMinusRecordMs: wall.at(-1)![1],
    wall,
    // Most have none, and a long range reads many.
    gaps: row.gaps === '[]' ? [] : JSON.parse(row.gaps),
    extremes: JSON.parse(row.extremes),
    reduced: row.reduced === null ? null : JSON.parse(row.reduced),
  };
}
