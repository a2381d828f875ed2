/** Stored samples by time: which chunks and stretches a range needs, their samples and their summaries. */
import type { SampleChunk } from '#core/sample/chunk';
import { decodeChunk } from '#core/sample/codec';
import { decodeAllDense } from '#core/sample/dense-codec';
import type { LevelRows, PickWidth } from '#core/series/zoom-levels';
import type { RigAddress } from '#core/topics/topics';
import { RecordBodies } from './record-bodies.ts';
import { chunkOf, type Held, HOLDERS, type HolderRow } from './sample-rows.ts';
import type { Prepare } from './statements.ts';
import type { ChunkRow, NewestSample, SampleRange, SampleSpan } from './store.ts';
import type { StreamTable } from './stream-table.ts';
import { ZoomCache } from './zoom-cache.ts';

/** Stretches whose row was read last; a number is never used again. */
const MOST_KNOWN = 4096;

export class SampleTable {
  private readonly sql: Prepare;
  private readonly streams: StreamTable;
  private readonly zooms = new ZoomCache();
  private readonly stretches = new Map<number, ChunkRow>();
  /** Of streams: a few for each edge there ever was. */
  private readonly names = new Map<number, string>();
  private readonly bodies: RecordBodies;

  constructor(sql: Prepare, streams: StreamTable) {
    this.sql = sql;
    this.streams = streams;
    this.bodies = new RecordBodies(sql);
  }

  /** Of the rig's streams the newest that has samples in the range; a named one only itself. */
  span(address: RigAddress, range: SampleRange): SampleSpan | null {
    for (const id of this.streams.idsOf(address)) {
      const stream = this.nameOf(id);
      if (range.kind === 'record' && range.stream !== undefined && range.stream !== stream) continue;
      const bounds = range.kind === 'record' ? range : this.toRecordTime(id, range.fromMs, range.toMs);
      if (!bounds) continue;
      const chunks = this.chunksIn(id, bounds.fromUs, bounds.toUs);
      const touches = chunks.some(({ firstUs, lastUs }) => lastUs >= bounds.fromUs && firstUs <= bounds.toUs);
      const last = chunks.at(-1);
      if (!last || !touches) continue;
      return {
        stream,
        utcMinusRecordMs: last.utcMinusRecordMs,
        fromUs: bounds.fromUs,
        toUs: bounds.toUs,
        chunks,
      };
    }
    return null;
  }

  newest(address: RigAddress): NewestSample | null {
    for (const id of this.streams.idsOf(address)) {
      const rows = HOLDERS.flatMap(({ table }) =>
        this.sql(
          `SELECT last_us, last_utc_ms FROM ${table} WHERE stream_id = ? ORDER BY first_us DESC LIMIT 1`,
        ).all(id),
      ) as { last_us: number; last_utc_ms: number }[];
      const [first] = rows;
      if (!first) continue;
      const row = rows.reduce((latest, one) => (one.last_us > latest.last_us ? one : latest), first);
      return { stream: this.nameOf(id), lastUs: row.last_us, lastUtcMs: row.last_utc_ms };
    }
    return null;
  }

  /** Null where only summaries are left here. */
  samples(chunk: Held): SampleChunk | null {
    return this.allSamples([chunk])[0] ?? null;
  }

  /**
   * Of each, in their order; of what has settled since it was looked up, as it was recorded. Settled ones lie side by
   * side in memory (rejoinSlices).
   */
  allSamples(chunks: readonly Held[]): (SampleChunk | null)[] {
    const encoded = chunks.map(chunk => this.encoded(chunk));
    const isDense = (i: number): boolean => chunks[i]!.kind !== 'batch';
    const dense = decodeAllDense(
      encoded.filter((data, i): data is Uint8Array => data !== null && isDense(i)),
    );
    const next = dense.values();
    return encoded.map((data, i) => {
      if (data === null) return this.settledSince(chunks[i]!);
      return isDense(i) ? next.next().value! : decodeChunk(data);
    });
  }

  private encoded({ id, kind, record }: Held): Uint8Array | null {
    const row =
      kind !== 'batch'
        ? this.sql('SELECT data FROM stretches WHERE id = ?').get(id)
        : record
          ? this.sql('SELECT data FROM chunks WHERE id = ? AND stream_id = ? AND seq = ?').get(
              id,
              record.streamId,
              record.seq,
            )
          : this.sql('SELECT data FROM chunks WHERE id = ?').get(id);
    return (row as { data: Uint8Array | null } | undefined)?.data ?? null;
  }

  private settledSince({ record }: Held): SampleChunk | null {
    if (!record) return null;
    const row = this.sql('SELECT settled FROM records WHERE stream_id = ? AND seq = ?').get(
      record.streamId,
      record.seq,
    ) as { settled: number | null } | undefined;
    return row?.settled ? this.bodies.chunk(row.settled, record.seq) : null;
  }

  /** Summaries of a stretch at one width; null of a chunk as it came, which has none but its extremes, and where it is gone. */
  zoom({ id, kind }: Held, pick: PickWidth): LevelRows | null {
    if (kind === 'batch') return null;
    return this.zooms.level(id, pick, () => {
      const row = this.sql('SELECT zoom FROM stretches WHERE id = ?').get(id);
      return (row as { zoom: Uint8Array } | undefined)?.zoom ?? null;
    });
  }

  /** What is known of one of them; null where it is gone. */
  chunk({ id, kind }: Held): ChunkRow | null {
    const { table, columns } = HOLDERS[kind === 'batch' ? 0 : 1]!;
    const row = this.sql(`SELECT ${columns} FROM ${table} WHERE id = ?`).get(id) as HolderRow | undefined;
    return row ? chunkOf(row) : null;
  }

  newestRecord({ id, kind }: Held): number {
    const row = this.sql(
      kind === 'batch'
        ? 'SELECT r.id FROM chunks c JOIN records r ON r.stream_id = c.stream_id AND r.seq = c.seq WHERE c.id = ?'
        : `SELECT max(r.id) AS id FROM stretches t JOIN records r
             ON r.stream_id = t.stream_id AND r.seq BETWEEN t.first_seq AND t.last_seq WHERE t.id = ?`,
    ).get(id) as { id: number | null } | undefined;
    return row?.id ?? Number.POSITIVE_INFINITY;
  }

  private chunksIn(id: number, fromUs: number, toUs: number): ChunkRow[] {
    const inside: ChunkRow[] = [];
    const before: ChunkRow[] = [];
    const after: ChunkRow[] = [];
    for (const { table, columns, known } of HOLDERS) {
      const take = (into: ChunkRow[], where: string, ...values: number[]): void => {
        const rows = this.sql(`SELECT ${known ?? columns} FROM ${table} WHERE stream_id = ? AND ${where}`);
        if (known) for (const key of rows.pluck().all(id, ...values)) into.push(this.stretch(key as number));
        else for (const row of rows.all(id, ...values)) into.push(chunkOf(row as HolderRow));
      };
      take(inside, 'first_us BETWEEN ? AND ? ORDER BY first_us', fromUs, toUs);
      take(before, 'first_us < ? ORDER BY first_us DESC LIMIT 1', fromUs);
      take(after, 'first_us > ? ORDER BY first_us LIMIT 1', toUs);
    }
    const byTime = (a: ChunkRow, b: ChunkRow): number => a.firstUs - b.firstUs;
    return [...before.sort(byTime).slice(-1), ...inside.sort(byTime), ...after.sort(byTime).slice(0, 1)];
  }

  /** Of a stretch nothing ever changes but whether its samples are still here: `key` is negative where not. */
  private stretch(key: number): ChunkRow {
    const held: Held = { id: Math.abs(key), kind: key < 0 ? 'summary' : 'stretch' };
    const known = this.stretches.get(held.id) ?? this.learn(held);
    return known.kind === held.kind ? known : { ...known, kind: held.kind };
  }

  private learn(held: Held): ChunkRow {
    const row = this.chunk(held)!;
    this.stretches.set(held.id, row);
    const [oldest] = this.stretches.keys();
    if (this.stretches.size > MOST_KNOWN && oldest !== undefined) this.stretches.delete(oldest);
    return row;
  }

  /** Each end by the clock map of the chunk nearest to it. */
  private toRecordTime(id: number, fromMs: number, toMs: number): { fromUs: number; toUs: number } | null {
    const first = this.offsetAt(id, fromMs);
    const last = this.offsetAt(id, toMs);
    if (first === null || last === null) return null;
    return {
      fromUs: Math.max(0, Math.round((fromMs - first) * 1000)),
      toUs: Math.max(0, Math.round((toMs - last) * 1000)),
    };
  }

  /** UTC − record time of the samples that the wall clock read at `ms`, or of those next to it. */
  private offsetAt(id: number, ms: number): number | null {
    const ask = (condition: string, order: string): ChunkRow[] =>
      HOLDERS.flatMap(({ table, columns }) =>
        this.sql(
          `SELECT ${columns} FROM ${table} WHERE stream_id = ? AND first_utc_ms ${condition} ?
           ORDER BY first_utc_ms ${order} LIMIT 1`,
        ).all(id, ms),
      ).map(row => chunkOf(row as HolderRow));
    const utcOf = ({ firstUs, wall }: ChunkRow): number => firstUs / 1000 + wall[0]![1];
    const begun = ask('<=', 'DESC').sort((a, b) => utcOf(b) - utcOf(a))[0];
    const later = begun ?? ask('>', 'ASC').sort((a, b) => utcOf(a) - utcOf(b))[0];
    if (!later) return null;
    return (later.wall.findLast(([fromUs, offset]) => fromUs / 1000 + offset <= ms) ?? later.wall[0]!)[1];
  }

  private nameOf(id: number): string {
    let name = this.names.get(id);
    if (name === undefined) {
      name = (this.sql('SELECT stream FROM streams WHERE id = ?').get(id) as { stream: string }).stream;
      this.names.set(id, name);
    }
    return name;
  }
}
