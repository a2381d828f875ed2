/** Watermarks of streams in PostgreSQL: moved by the one rule of every store, read as they stand. */
import type { ClientBase } from 'pg';
import type { Origin } from '#core/messages/common';
import type { StreamState } from '../store/store.ts';
import { type Link, moveOver, type Watermark } from '../store/watermark.ts';

/** Links read of a stream at a time. */
const PAGE = 1000;

interface LinkRow {
  id: string;
  first_seq: string | null;
  upto: string;
  head: string;
  seq: string;
  prev: string;
  hash: string;
}

/** Moves the watermarks of these streams, whose rows the transaction holds, over what follows without a hole. */
export async function advanceStreams(client: ClientBase, ids: readonly string[]): Promise<void> {
  for (let waiting = ids; waiting.length > 0; ) {
    const { rows } = await client.query<LinkRow>(
      `SELECT s.id, s.first_seq, s.upto, s.head, l.seq, l.prev, l.hash FROM girthlog.streams s
       CROSS JOIN LATERAL (
         SELECT seq, prev, hash FROM girthlog.records
         WHERE stream_id = s.id AND seq > s.upto ORDER BY seq LIMIT ${PAGE}
       ) l WHERE s.id = ANY ($1::bigint[]) ORDER BY s.id, l.seq`,
      [waiting],
    );
    const moved = [...byStream(rows)].flatMap(([id, links]) => {
      const [row] = links as [LinkRow];
      // Where no beginning has been told, it is record 1.
      if (row.first_seq === null && row.seq !== '1') return [];
      const from: Watermark = { upto: Number(row.upto), head: row.head };
      const to = moveOver(from, links.map(linkOf));
      return to.upto === from.upto && row.first_seq !== null
        ? []
        : [{ id, ...to, step: to.upto - from.upto }];
    });
    if (moved.length > 0) await setWatermarks(client, moved);
    waiting = moved.filter(({ step }) => step === PAGE).map(({ id }) => id);
  }
}

async function setWatermarks(
  client: ClientBase,
  moved: readonly (Watermark & { readonly id: string })[],
): Promise<void> {
  await client.query(
    `UPDATE girthlog.streams s SET first_seq = coalesce(s.first_seq, 1), upto = t.upto, head = t.head
     FROM unnest($1::bigint[], $2::bigint[], $3::text[]) AS t (id, upto, head) WHERE s.id = t.id`,
    [moved.map(({ id }) => id), moved.map(({ upto }) => upto), moved.map(({ head }) => head)],
  );
}

/** In the order of `ids`. */
export async function streamStates(client: ClientBase, ids: readonly string[]): Promise<StreamState[]> {
  if (ids.length === 0) return [];
  const { rows } = await client.query(
    `SELECT s.*, bounds.lowest, bounds.highest,
       (SELECT count(*) FROM girthlog.records r WHERE r.stream_id = s.id AND r.seq > s.upto) AS waiting,
       (SELECT count(*) FROM girthlog.record_conflicts c WHERE c.stream_id = s.id) AS conflicts,
       s.first_seq IS NOT NULL AND coalesce((SELECT r.prev <> s.head FROM girthlog.records r
         WHERE r.stream_id = s.id AND r.seq = s.upto + 1), false) AS chain_broken
     FROM unnest($1::bigint[]) WITH ORDINALITY AS t (id, n)
     JOIN girthlog.streams s USING (id)
     CROSS JOIN LATERAL (
       SELECT min(seq) AS lowest, max(seq) AS highest FROM girthlog.records WHERE stream_id = s.id
     ) bounds ORDER BY t.n`,
    [ids],
  );
  return rows.map(row => ({
    site: row.site,
    rig: row.rig,
    stream: row.stream,
    origin: row.origin as Origin,
    first: numberOrNull(row.first_seq),
    upto: Number(row.upto),
    head: row.head,
    lowest: numberOrNull(row.lowest),
    highest: numberOrNull(row.highest),
    waiting: Number(row.waiting),
    conflicts: Number(row.conflicts),
    chainBroken: row.chain_broken,
  }));
}

function byStream(rows: readonly LinkRow[]): Map<string, LinkRow[]> {
  const streams = new Map<string, LinkRow[]>();
  for (const row of rows) {
    const known = streams.get(row.id);
    if (known) known.push(row);
    else streams.set(row.id, [row]);
  }
  return streams;
}

function linkOf({ seq, prev, hash }: LinkRow): Link {
  return { seq: Number(seq), prev, hash };
}

/** The driver gives 64-bit integers as text. */
function numberOrNull(value: string | null): number | null {
  return value === null ? null : Number(value);
}
