/**
 * Seals as the edges sent them, kept whatever becomes of the edge: this store is their witness. A seal waits here from
 * the transaction that stored its record until it has been checked against everything before it (ingest/seal-check.ts).
 */

import type { PassMessage } from '#core/messages/pass';
import { fromHex, toHex } from '#core/record/hex';
import type { MerkleFrontier } from '#core/record/merkle-tree';
import type { Seal, SignedSeal } from '#core/record/seal';
import type { ReadSeal, SealPosition } from '#core/record/seal-verify';
import type { RigAddress } from '#core/topics/topics';
import { pageOf, where } from './page.ts';
import { type SealKeyRow, SealKeyTable } from './seal-key-table.ts';
import type { Page, VerifiedRecord } from './store.ts';

/** `partly`: signature and order hold, but not every sealed batch is here. */
export type SealState = 'waiting' | 'verified' | 'partly' | 'failed';

export interface StoredSeal extends RigAddress {
  readonly id: number;
  readonly stream: string;
  /** The record that carried it. */
  readonly seq: number;
  readonly state: SealState;
  readonly problem: string | null;
  readonly receivedAt: string;
  /** Of a document that could be read and was signed; else null. */
  readonly number: number | null;
  readonly kind: Seal['kind'] | null;
  readonly passId: string | null;
  readonly hash: string | null;
  readonly keyId: string | null;
  /** Exactly what came. */
  readonly signed: SignedSeal;
}

/** Of a stream: where its seals stand. */
export interface SealProgress {
  readonly position: SealPosition | null;
  /** The tree of the whole stream as far as it was checked last. */
  readonly tree: { readonly firstSeq: number; readonly frontier: MerkleFrontier } | null;
  /** Passes closed up to here have been looked at for a seal; null before the first seal of the stream. */
  readonly lookedUpTo: number | null;
  /** The newest checked head of the whole stream. */
  readonly headSeq: number;
}

export interface WaitingSeal extends StoredSeal {
  readonly streamId: number;
  readonly origin: string;
  /** Of the stream's records here: where contiguity begins, and up to where it reaches. */
  readonly firstSeq: number;
  readonly upto: number;
}

export interface SealResult {
  readonly state: Exclude<SealState, 'waiting'>;
  readonly problem: string | null;
  readonly read: ReadSeal | null;
  /** Unchanged where null. */
  readonly progress: SealProgress | null;
  readonly keys: readonly SealKeyRow[];
}

interface Row {
  readonly id: number;
  readonly site: string;
  readonly rig: string;
  readonly stream: string;
  readonly seq: number;
  readonly state: SealState;
  readonly problem: string | null;
  readonly received_at: string;
  readonly number: number | null;
  readonly kind: Seal['kind'] | null;
  readonly pass_id: string | null;
  readonly hash: string | null;
  readonly key_id: string | null;
  readonly document: string;
}

const COLUMNS =
  'seals.id, site, rig, stream, seals.seq, seals.state, problem, seals.received_at, number, kind, pass_id, hash, key_id, document';

export interface SealFilter {
  readonly site?: string | undefined;
  readonly rig?: string | undefined;
  readonly state?: SealState | undefined;
  readonly limit: number;
  readonly before?: string | undefined;
}

export class SealTable extends SealKeyTable {
  /** Inside the transaction that stores the record. */
  keep(streamId: number, { message, body }: VerifiedRecord, receivedAt: string): void {
    body?.seals?.forEach((signed, place) => {
      this.sql(
        `INSERT INTO seals (stream_id, seq, place, document, received_at, state) VALUES (?, ?, ?, ?, ?, 'waiting')
         ON CONFLICT (stream_id, seq, place) DO NOTHING`,
      ).run(streamId, message.seq, place, JSON.stringify(signed), receivedAt);
    });
  }

  /** The oldest seal that waits and whose record has everything before it; null when none does. */
  nextWaiting(): WaitingSeal | null {
    const row = this.sql(
      `SELECT ${COLUMNS}, stream_id, origin, first_seq, upto FROM seals JOIN streams ON streams.id = stream_id
       WHERE seals.state = 'waiting' AND seals.seq <= upto AND first_seq IS NOT NULL
       ORDER BY stream_id, seals.seq, place LIMIT 1`,
    ).get() as (Row & { stream_id: number; origin: string; first_seq: number; upto: number }) | undefined;
    if (!row) return null;
    const { stream_id: streamId, origin, first_seq: firstSeq, upto } = row;
    return { ...sealOf(row), streamId, origin, firstSeq, upto };
  }

  progress(streamId: number): SealProgress {
    const row = this.sql('SELECT * FROM seal_progress WHERE stream_id = ?').get(streamId) as
      | { position: string | null; tree: string | null; looked_upto: number | null; head_seq: number }
      | undefined;
    return {
      position: row?.position ? JSON.parse(row.position) : null,
      tree: row?.tree ? treeOf(row.tree) : null,
      lookedUpTo: row?.looked_upto ?? null,
      headSeq: row?.head_seq ?? 0,
    };
  }

  /** What checking a seal came to: all of it or nothing. */
  settle(seal: WaitingSeal, result: SealResult): void {
    const { read, progress, keys } = result;
    this.inOne(() => {
      this.sql(
        `UPDATE seals SET state = ?, problem = ?, number = ?, kind = ?, pass_id = ?, hash = ?, key_id = ? WHERE id = ?`,
      ).run(
        result.state,
        result.problem,
        read?.seal.number ?? null,
        read?.seal.kind ?? null,
        read?.seal.kind === 'pass' ? read.seal.pass.passId : null,
        read?.hash ?? null,
        read?.seal.keyId ?? null,
        seal.id,
      );
      for (const key of keys) this.putKey(seal, key);
      if (progress) this.putProgress(seal.streamId, progress);
    });
  }

  /** Batch hashes `fromSeq` to `toSeq` of a stream, at most `limit`. */
  hashes(streamId: number, fromSeq: number, toSeq: number, limit: number): string[] {
    const rows = this.sql(
      'SELECT hash FROM records WHERE stream_id = ? AND seq BETWEEN ? AND ? ORDER BY seq LIMIT ?',
    ).all(streamId, fromSeq, toSeq, limit) as { hash: string }[];
    return rows.map(({ hash }) => hash);
  }

  /** Closed passes recorded behind `afterSeq` up to `upToSeq` that no seal names. */
  unsealed(streamId: number, afterSeq: number, upToSeq: number): string[] {
    const rows = this.sql(
      `SELECT pass_id FROM passes WHERE stream_id = ? AND seq > ? AND seq <= ? AND message ->> 'state' = 'closed'
         AND NOT EXISTS (SELECT 1 FROM seals WHERE seals.pass_id = passes.pass_id)`,
    ).all(streamId, afterSeq, upToSeq) as { pass_id: string }[];
    return rows.map(row => row.pass_id);
  }

  page(filter: SealFilter): Page<StoredSeal> {
    const { site, rig, state, limit, before } = filter;
    const { clause, values } = where(
      { site, rig, 'seals.state =': state },
      'seals.id < cast(? AS INTEGER)',
      before,
      1,
    );
    const rows = this.sql(
      `SELECT ${COLUMNS} FROM seals JOIN streams ON streams.id = stream_id ${clause}
       ORDER BY seals.id DESC LIMIT ?`,
    ).all(...values, limit + 1) as Row[];
    return pageOf(rows, limit, row => [String(row.id)], sealOf);
  }

  /** The seal of a pass; a good one before one that failed. */
  ofPass(passId: string): StoredSeal | null {
    const row = this.sql(
      `SELECT ${COLUMNS} FROM seals JOIN streams ON streams.id = stream_id WHERE pass_id = ?
       ORDER BY seals.state = 'failed', seals.id LIMIT 1`,
    ).get(passId) as Row | undefined;
    return row ? sealOf(row) : null;
  }

  /** All seals of one stream, in the order they came along it. */
  ofStream(address: RigAddress, stream: string): StoredSeal[] {
    const rows = this.sql(
      `SELECT ${COLUMNS} FROM seals JOIN streams ON streams.id = stream_id
       WHERE site = ? AND rig = ? AND stream = ? ORDER BY seals.seq, place`,
    ).all(address.site, address.rig, stream) as Row[];
    return rows.map(sealOf);
  }

  /** The pass as the records have it. */
  recordedPass(passId: string): PassMessage | null {
    const row = this.sql('SELECT message FROM passes WHERE pass_id = ?').get(passId) as
      | { message: string }
      | undefined;
    return row ? JSON.parse(row.message) : null;
  }

  private putProgress(streamId: number, { position, tree, lookedUpTo, headSeq }: SealProgress): void {
    this.sql(
      `INSERT INTO seal_progress (stream_id, position, tree, looked_upto, head_seq) VALUES (?, ?, ?, ?, ?)
       ON CONFLICT (stream_id) DO UPDATE SET position = excluded.position, tree = excluded.tree,
         looked_upto = excluded.looked_upto, head_seq = excluded.head_seq`,
    ).run(streamId, position && JSON.stringify(position), tree && treeText(tree), lookedUpTo, headSeq);
  }
}

function sealOf(row: Row): StoredSeal {
  const { received_at: receivedAt, pass_id: passId, key_id: keyId, document } = row;
  const { id, site, rig, stream, seq, state, problem, number, kind, hash } = row;
  const read = { number, kind, passId, hash, keyId };
  return { id, site, rig, stream, seq, state, problem, receivedAt, ...read, signed: JSON.parse(document) };
}

type Tree = NonNullable<SealProgress['tree']>;

function treeText({ firstSeq, frontier: { size, peaks } }: Tree): string {
  return JSON.stringify({ firstSeq, size, peaks: peaks.map(toHex) });
}

function treeOf(text: string): Tree {
  const { firstSeq, size, peaks } = JSON.parse(text) as { firstSeq: number; size: number; peaks: string[] };
  return { firstSeq, frontier: { size, peaks: peaks.map(peak => fromHex(peak) ?? new Uint8Array(0)) } };
}
