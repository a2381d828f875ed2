/**
 * Where each required store stands, and what its claims are worth.
 *
 * A cursor that moves on is written with the next batch, or with what gives way by it: a commit of its own each second
 * would double the work of the disk, and one that a power cut takes back costs a resend. One that goes back is written
 * at once.
 */
import { CHAIN_START } from '#core/record/chain';
import { DamagedStore } from './chain-check.ts';
import type { AckClaim, AckVerdict, Cursor } from './outbox-types.ts';
import type { Statements } from './statements.ts';

/** A store that is wrong about what it lost, or someone in its name, costs no more resends than one in this time. */
const REWIND_EVERY_MS = 10_000;
/** Without a batch that takes it along, a cursor is written after this. */
const UNWRITTEN_MS = 2000;

export interface Chain {
  readonly stream: string;
  readonly lastSeq: number;
  /** Hash of a batch, zeros at 0; null for one that does not exist. */
  readonly hashAt: (seq: number) => string | null;
}

export class Cursors {
  private readonly statements: Statements;
  private readonly monotonicMs: () => number;
  private readonly cursors = new Map<string, Cursor>();
  /** As the file has them. */
  private written = new Map<string, Cursor>();
  private unwrittenSinceMs: number | null = null;
  private readonly rewoundMs = new Map<string, number>();

  /** Throws DamagedStore when a cursor is beyond the newest batch. */
  constructor(
    statements: Statements,
    requiredStores: readonly string[],
    lastSeq: number,
    monotonicMs: () => number,
  ) {
    this.statements = statements;
    this.monotonicMs = monotonicMs;
    for (const store of requiredStores) {
      const { upto, head } = statements.cursor.get(store) ?? { upto: 0, head: CHAIN_START };
      if (upto > lastSeq) {
        throw new DamagedStore(
          `store "${store}" holds batch ${upto}, but the newest here is ${lastSeq}: the file is an older copy`,
        );
      }
      this.cursors.set(store, { upto, head });
    }
    this.written = new Map(this.cursors);
  }

  /** Every required store has everything up to here. */
  watermark(lastSeq: number): number {
    return Math.min(lastSeq, ...[...this.cursors.values()].map(({ upto }) => upto));
  }

  get isWritten(): boolean {
    return this.unwrittenSinceMs === null;
  }

  /** Cursors have moved and no batch has taken them along for a while. */
  get isOverdue(): boolean {
    return this.unwrittenSinceMs !== null && this.monotonicMs() - this.unwrittenSinceMs >= UNWRITTEN_MS;
  }

  /** Writes what has moved, inside the caller's transaction. Throws what SQLite throws. */
  write(): void {
    for (const [store, { upto, head }] of this.cursors) {
      if (this.written.get(store)?.upto !== upto) this.statements.setCursor.run(store, upto, head);
    }
  }

  /** The transaction that wrote them is committed. */
  committed(): void {
    this.written = new Map(this.cursors);
    this.unwrittenSinceMs = null;
  }

  all(): Record<string, Cursor> {
    return Object.fromEntries(this.cursors);
  }

  /** Throws DamagedStore on a cursor whose hash is not the stream's. */
  check({ hashAt }: Chain): void {
    for (const [store, { upto, head }] of this.cursors) {
      if (head !== hashAt(upto)) {
        throw new DamagedStore(`the cursor of store "${store}" does not fit batch ${upto}`);
      }
    }
  }

  /** Judges a claim and moves the cursor if every part of it is right. Throws what SQLite throws. */
  judge(claim: AckClaim, { stream, lastSeq, hashAt }: Chain): AckVerdict {
    const { store, upto, head } = claim;
    const cursor = this.cursors.get(store);
    if (!cursor) return 'unlisted';
    if (claim.stream !== stream) return 'wrongStream';
    if (upto > lastSeq) return 'future';
    const isBack = upto < cursor.upto;
    if (head !== hashAt(upto)) return isBack ? 'stale' : 'wrongHead';
    if (upto === cursor.upto) return 'repeated';
    if (isBack && !this.mayRewind(store)) return 'stale';
    if (isBack) {
      this.statements.setCursor.run(store, upto, head);
      this.written.set(store, { upto, head });
      this.rewoundMs.set(store, this.monotonicMs());
    } else this.unwrittenSinceMs ??= this.monotonicMs();
    this.cursors.set(store, { upto, head });
    return isBack ? 'rewound' : 'accepted';
  }

  private mayRewind(store: string): boolean {
    const last = this.rewoundMs.get(store);
    return last === undefined || this.monotonicMs() - last >= REWIND_EVERY_MS;
  }
}
