/**
 * Room in the store, oldest first: (1) samples that every required store has are pruned; (2) where none are left,
 * samples that wait are thinned to ≤ 1 s. Events, passes, seals and the hashes of every batch are never dropped.
 *
 * Invariants
 * - a batch keeps seq, prev and hash for ever: chain and seals hold; what is left of its body has a hash of its own;
 * - nothing is pruned before the cursors that allow it are in the file;
 * - everything up to `prunedUpto` has no samples left, everything up to `thinnedUpto` no raw ones
 *   (batches that fail their check are left as they are, for whoever verifies);
 * - the newest batches stay whole while any other can give way: a growing pass is fed again from them.
 */
import { createHash } from 'node:crypto';
import { recordBodySchema } from '#core/messages/record';
import { isEmptied, pruneRecord, thinRecord } from '#core/record/reduce-record';
import { hashReduced, problemOf } from './chain-check.ts';
import type { Cursors } from './cursors.ts';
import type { SqliteDatabase } from './outbox-database.ts';
import type { ReducedRange } from './outbox-types.ts';
import type { Row, Statements } from './statements.ts';

/** Looked at in one transaction: short enough that a commit never waits long behind it. */
const SLICE = 100;
/** About ten minutes at one batch a second. */
const NEWEST = 600;

const POINTERS = ['prunedUpto', 'thinnedUpto', 'pruned', 'thinned'] as const;
type Pointers = Record<(typeof POINTERS)[number], number>;

export class Retention {
  private readonly db: SqliteDatabase;
  private readonly statements: Statements;
  private readonly stream: string;
  private readonly cursors: Cursors;
  private at: Pointers;

  constructor(db: SqliteDatabase, statements: Statements, stream: string, cursors: Cursors) {
    this.cursors = cursors;
    this.db = db;
    this.statements = statements;
    this.stream = stream;
    const read = (key: string): number => Number(statements.meta.get(key) ?? 0);
    this.at = {
      prunedUpto: read('prunedUpto'),
      thinnedUpto: read('thinnedUpto'),
      pruned: read('pruned'),
      thinned: read('thinned'),
    };
  }

  /** Batches reduced so far, and up to where. */
  get pointers(): Readonly<Pointers> {
    return this.at;
  }

  /** Seq of the oldest batch that may still be whole. */
  get firstWhole(): number {
    return Math.max(this.at.prunedUpto, this.at.thinnedUpto) + 1;
  }

  /** Batches whose samples every required store has, and that are still here. */
  prunable(watermark: number, lastSeq: number): number {
    return Math.max(0, Math.min(watermark, lastSeq - NEWEST) - this.at.prunedUpto);
  }

  /**
   * Looks at the next slice of batches that could give way; null when there are none. `hard`: the disk is full, the
   * newest batches are not spared. Throws what SQLite throws; then nothing has changed.
   */
  slice(watermark: number, lastSeq: number, hard = false): { readonly reduced: ReducedRange | null } | null {
    const upto = lastSeq - (hard ? 0 : NEWEST);
    return (
      this.reduce('pruned', this.at.prunedUpto, Math.min(watermark, upto)) ??
      this.reduce('thinned', Math.max(watermark, this.firstWhole - 1), upto)
    );
  }

  private reduce(
    to: ReducedRange['to'],
    after: number,
    upto: number,
  ): { reduced: ReducedRange | null } | null {
    if (after >= upto) return null;
    const { reduced, next } = this.db.transaction(() => {
      this.cursors.write();
      return this.reduceRange(to, after + 1, Math.min(upto, after + SLICE));
    })();
    this.cursors.committed();
    this.at = next;
    return { reduced };
  }

  private reduceRange(
    to: ReducedRange['to'],
    fromSeq: number,
    toSeq: number,
  ): { reduced: ReducedRange | null; next: Pointers } {
    const digest = createHash('sha256');
    let batches = 0;
    let wereThinned = 0;
    const rows = this.statements.from.all(fromSeq, toSeq - fromSeq + 1).map(row => {
      const body = this.reducedBody(row, to);
      if (body === null) return row;
      const bodyHash = hashReduced({ hash: row.hash, body });
      digest.update(bodyHash);
      batches += 1;
      if (row.reduced_to === 'thinned') wereThinned += 1;
      return { ...row, body, reduced_to: to, body_hash: bodyHash };
    });
    // Out and in again: SQLite does not move rows together that only became shorter, so no page would be freed.
    if (batches > 0) {
      this.statements.deleteRange.run(fromSeq, toSeq);
      for (const row of rows) this.statements.putBack.run(row);
    }
    const next: Pointers = { ...this.at };
    next[to] += batches;
    next.thinned -= wereThinned;
    next[to === 'pruned' ? 'prunedUpto' : 'thinnedUpto'] = toSeq;
    for (const key of POINTERS) this.statements.setMeta.run(key, String(next[key]));
    const reduced = batches === 0 ? null : { to, fromSeq, toSeq, batches, digest: digest.digest('hex') };
    return { reduced, next };
  }

  /** What is left of a batch; null when it stays as it is. */
  private reducedBody(row: Row, to: ReducedRange['to']): string | null {
    if (row.reduced_to === to || row.reduced_to === 'pruned') return null;
    // A damaged batch is evidence: it is not written over.
    if (problemOf(row, this.stream, row.seq, row.prev)) return null;
    try {
      const whole = recordBodySchema.parse(JSON.parse(row.body));
      const left = to === 'pruned' ? pruneRecord(whole) : thinRecord(whole);
      if (!left) return null;
      return isEmptied(left) ? '' : JSON.stringify(left);
    } catch {
      return null;
    }
  }
}
