/**
 * Streams and their watermark: everything from `first` to `upto` is here, and each record of it names the
 * hash of the one before. Only this moves an edge's cursor; a broker's PUBACK never does.
 */
import type { Origin } from '#core/messages/common';
import { CHAIN_START } from '#core/record/chain';
import type { RigAddress } from '#core/topics/topics';
import type { Prepare } from './statements.ts';
import type { StreamState } from './store.ts';
import { type Link, moveOver } from './watermark.ts';

interface StreamRow {
  id: number;
  site: string;
  rig: string;
  stream: string;
  origin: Origin;
  first_seq: number | null;
  upto: number;
  head: string;
}

const PAGE = 1000;

export class StreamTable {
  private readonly sql: Prepare;

  constructor(sql: Prepare) {
    this.sql = sql;
  }

  ensure(address: RigAddress, stream: string, origin: Origin, receivedAt: string): number {
    const { site, rig } = address;
    const row = this.sql(
      `INSERT INTO streams (site, rig, stream, origin, head, last_received) VALUES (?, ?, ?, ?, ?, ?)
         ON CONFLICT (site, rig, stream) DO UPDATE SET last_received = excluded.last_received RETURNING id`,
    ).get(site, rig, stream, origin, CHAIN_START, receivedAt) as { id: number };
    return row.id;
  }

  /** Moves the watermark over every record that follows it without a hole. */
  advance(id: number): void {
    const row = this.row(id);
    let { first_seq: first, upto, head } = row;
    if (first === null) {
      if (!this.link(id, 1)) return;
      first = 1;
    }
    const next = this.sql(
      'SELECT seq, prev, hash FROM records WHERE stream_id = ? AND seq > ? ORDER BY seq LIMIT ?',
    );
    for (let more = true; more; ) {
      const links = next.all(id, upto, PAGE) as Link[];
      const before = upto;
      ({ upto, head } = moveOver({ upto, head }, links));
      more = upto - before === PAGE;
    }
    if (first === row.first_seq && upto === row.upto) return;
    this.sql('UPDATE streams SET first_seq = ?, upto = ?, head = ? WHERE id = ?').run(first, upto, head, id);
  }

  /** Contiguity begins at `first`, whose record is here; earlier ones may still come and are kept. */
  startAt(address: RigAddress, stream: string, first: number): StreamState | null {
    const row = this.sql('SELECT * FROM streams WHERE site = ? AND rig = ? AND stream = ?').get(
      address.site,
      address.rig,
      stream,
    ) as StreamRow | undefined;
    if (!row || row.first_seq !== null) return null;
    const link = this.link(row.id, first);
    if (!link) return null;
    this.sql('UPDATE streams SET first_seq = ?, upto = ?, head = ? WHERE id = ?').run(
      first,
      first - 1,
      link.prev,
      row.id,
    );
    this.advance(row.id);
    return this.state(row.id);
  }

  state(id: number): StreamState {
    const row = this.row(id);
    // Asked apart, each is one step into the index; asked together, SQLite goes through every record of the stream.
    const bounds = this.sql(
      `SELECT (SELECT min(seq) FROM records WHERE stream_id = @id) AS lowest,
         (SELECT max(seq) FROM records WHERE stream_id = @id) AS highest`,
    ).get({ id }) as { lowest: number | null; highest: number | null };
    const waiting = this.count(
      'SELECT count(*) AS n FROM records WHERE stream_id = ? AND seq > ?',
      id,
      row.upto,
    );
    const following = row.first_seq === null ? undefined : this.link(id, row.upto + 1);
    return {
      site: row.site,
      rig: row.rig,
      stream: row.stream,
      origin: row.origin,
      first: row.first_seq,
      upto: row.upto,
      head: row.head,
      ...bounds,
      waiting,
      conflicts: this.count('SELECT count(*) AS n FROM record_conflicts WHERE stream_id = ?', id),
      chainBroken: following !== undefined && following.prev !== row.head,
    };
  }

  states(): StreamState[] {
    const ids = this.sql('SELECT id FROM streams ORDER BY last_received, id').all() as { id: number }[];
    return ids.map(({ id }) => this.state(id));
  }

  of({ site, rig }: RigAddress, stream: string): StreamState | null {
    const row = this.sql('SELECT id FROM streams WHERE site = ? AND rig = ? AND stream = ?').get(
      site,
      rig,
      stream,
    ) as { id: number } | undefined;
    return row ? this.state(row.id) : null;
  }

  newest(address: RigAddress): StreamState | null {
    const [id] = this.idsOf(address);
    return id === undefined ? null : this.state(id);
  }

  /** Newest first. */
  idsOf(address: RigAddress): number[] {
    const rows = this.sql(
      'SELECT id FROM streams WHERE site = ? AND rig = ? ORDER BY last_received DESC, id DESC',
    ).all(address.site, address.rig) as { id: number }[];
    return rows.map(row => row.id);
  }

  private row(id: number): StreamRow {
    return this.sql('SELECT * FROM streams WHERE id = ?').get(id) as StreamRow;
  }

  private link(id: number, seq: number): Link | undefined {
    return this.sql('SELECT seq, prev, hash FROM records WHERE stream_id = ? AND seq = ?').get(id, seq) as
      | Link
      | undefined;
  }

  private count(sql: string, ...values: number[]): number {
    return (this.sql(sql).get(...values) as { n: number }).n;
  }
}
