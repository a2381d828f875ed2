/**
 * The durable outbox: an append-only hash chain of batches in SQLite, with a cursor for each required store.
 *
 * Invariants
 * - seq runs 1, 2, 3 … without a hole along one stream; row and hash are made in one transaction;
 * - a cursor only moves forward, and only to a seq whose hash the store has named correctly;
 * - an acknowledgement deletes nothing;
 * - a file that fails its checks is moved aside whole and a new stream begins: seq is never used twice.
 *
 * Synchronous; lives in the worker thread (capture-worker.ts).
 */
import { randomBytes } from 'node:crypto';
import { existsSync, renameSync, statfsSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { CHAIN_START } from '#core/record/chain';
import { checkChain, DamagedStore, hashBatch, problemOf } from './chain-check.ts';
import { asStoreError, isDamage, lockStore, openDatabase, type SqliteDatabase } from './outbox-database.ts';
import {
  type AckClaim,
  type AckVerdict,
  type AppendResult,
  type Cursor,
  type OpenedStore,
  type PendingBatch,
  type Quarantine,
  type StatePatch,
  type StoredBatch,
  StoreError,
  type StoreStats,
} from './outbox-types.ts';
import { prepareStatements, type Statements } from './statements.ts';

/** Checked at every start, besides everything no store has yet. */
const CHECK_NEWEST = 600;

export interface OutboxStoreOptions {
  readonly path: string;
  readonly requiredStores: readonly string[];
  /** Monotonic milliseconds, for `tookMs`. */
  readonly monotonicMs: () => number;
  /** For the name of a quarantined file. */
  readonly wallMs: () => number;
}

export class OutboxStore {
  private readonly options: OutboxStoreOptions;
  private lock: SqliteDatabase | null = null;
  private db: SqliteDatabase | null = null;
  private statements: Statements | null = null;
  private stream = '';
  private lastSeq = 0;
  private head = CHAIN_START;
  private readonly cursors = new Map<string, Cursor>();

  constructor(options: OutboxStoreOptions) {
    this.options = options;
  }

  /** Opens and checks; a damaged file is moved aside and a new stream begun. Throws StoreError. */
  open(): OpenedStore {
    try {
      this.lock = lockStore(this.options.path);
      let quarantine: Quarantine | null = null;
      let modeFixed = false;
      try {
        modeFixed = this.openAndCheck();
      } catch (error) {
        if (!isDamage(error) && !(error instanceof DamagedStore)) throw error;
        this.closeDatabase();
        quarantine = this.moveAside(error instanceof Error ? error.message : String(error));
        modeFixed = this.openAndCheck();
      }
      return this.describe(quarantine, modeFixed);
    } catch (error) {
      this.close();
      throw asStoreError(error);
    }
  }

  /** Commits all of `batches` or none. Throws StoreError. */
  append(batches: readonly PendingBatch[]): AppendResult {
    const { db, statements } = this.opened();
    const started = this.options.monotonicMs();
    let seq = this.lastSeq;
    let head = this.head;
    try {
      db.transaction(() => {
        for (const batch of batches) {
          seq += 1;
          const prev = head;
          head = hashBatch({ prev, stream: this.stream, seq, body: batch.body });
          statements.insert.run(
            seq,
            this.stream,
            prev,
            head,
            batch.body,
            batch.closedUs,
            Math.round(batch.closedUtcMs),
          );
          this.writeState(batch.state);
        }
      })();
    } catch (error) {
      throw asStoreError(error);
    }
    const firstSeq = this.lastSeq + 1;
    this.lastSeq = seq;
    this.head = head;
    return { firstSeq, lastSeq: seq, head, tookMs: this.options.monotonicMs() - started };
  }

  /** Keeps state to resume from, without a batch. Throws StoreError. */
  saveState(patch: StatePatch): void {
    const { db } = this.opened();
    try {
      db.transaction(() => this.writeState(patch))();
    } catch (error) {
      throw asStoreError(error);
    }
  }

  /**
   * Committed batches from `fromSeq` on, at most `limit` and about `maxBytes` of body (at least one).
   * Each is checked against its hash first. Throws StoreError `failed` on one that no longer fits.
   */
  read(fromSeq: number, limit: number, maxBytes: number): StoredBatch[] {
    const { statements } = this.opened();
    const found: StoredBatch[] = [];
    let bytes = 0;
    try {
      for (const row of statements.from.iterate(fromSeq, limit)) {
        const problem = problemOf(row, this.stream, row.seq, row.prev);
        if (problem) throw new StoreError('failed', problem);
        bytes += row.body.length;
        if (found.length > 0 && bytes > maxBytes) break;
        found.push({ seq: row.seq, prev: row.prev, hash: row.hash, body: row.body, closedUs: row.closed_us });
      }
    } catch (error) {
      throw asStoreError(error);
    }
    return found;
  }

  /** Judges a store's claim and moves its cursor if every part of it is right. Throws StoreError. */
  acknowledge(claim: AckClaim): AckVerdict {
    const { statements } = this.opened();
    try {
      const cursor = this.cursors.get(claim.store);
      if (!cursor) return 'unlisted';
      if (claim.stream !== this.stream) return 'wrongStream';
      if (claim.upto > this.lastSeq) return 'future';
      if (claim.upto < cursor.upto) return 'stale';
      if (claim.head !== this.hashAt(claim.upto)) return 'wrongHead';
      if (claim.upto === cursor.upto) return 'repeated';
      statements.setCursor.run(claim.store, claim.upto, claim.head);
      this.cursors.set(claim.store, { upto: claim.upto, head: claim.head });
      return 'accepted';
    } catch (error) {
      throw asStoreError(error);
    }
  }

  stats(): StoreStats {
    const sizeOf = (path: string): number => (existsSync(path) ? statSync(path).size : 0);
    let freeBytes: number | null = null;
    try {
      const fs = statfsSync(dirname(this.options.path));
      freeBytes = fs.bavail * fs.bsize;
    } catch {
      freeBytes = null;
    }
    return { bytes: sizeOf(this.options.path) + sizeOf(`${this.options.path}-wal`), freeBytes };
  }

  close(): void {
    this.closeDatabase();
    this.lock?.close();
    this.lock = null;
  }

  private closeDatabase(): void {
    this.statements = null;
    this.db?.close();
    this.db = null;
  }

  private opened(): { db: SqliteDatabase; statements: Statements } {
    if (!this.db || !this.statements) throw new StoreError('failed', 'the store is not open');
    return { db: this.db, statements: this.statements };
  }

  private openAndCheck(): boolean {
    const { db, modeFixed } = openDatabase(this.options.path, () => randomBytes(16).toString('hex'));
    this.db = db;
    const statements = prepareStatements(db);
    this.statements = statements;
    this.stream = statements.stream.get() ?? '';
    if (!/^[0-9a-f]{32}$/.test(this.stream)) throw new DamagedStore('the store has no stream id');
    const last = statements.last.get();
    this.lastSeq = last?.seq ?? 0;
    this.head = last?.hash ?? CHAIN_START;
    this.cursors.clear();
    for (const store of this.options.requiredStores) {
      const row = statements.cursor.get(store);
      const cursor = row ?? { upto: 0, head: CHAIN_START };
      if (cursor.upto > this.lastSeq) {
        throw new DamagedStore(
          `store "${store}" holds batch ${cursor.upto}, but the newest here is ${this.lastSeq}: the file is an older copy`,
        );
      }
      this.cursors.set(store, { upto: cursor.upto, head: cursor.head });
    }
    const waitingFrom = Math.min(this.lastSeq, ...[...this.cursors.values()].map(({ upto }) => upto)) + 1;
    checkChain(statements, this.stream, Math.min(waitingFrom, this.lastSeq - CHECK_NEWEST + 1));
    for (const [store, cursor] of this.cursors) {
      if (cursor.head !== this.hashAt(cursor.upto)) {
        throw new DamagedStore(`the cursor of store "${store}" does not fit batch ${cursor.upto}`);
      }
    }
    return modeFixed;
  }

  private hashAt(seq: number): string | null {
    return seq === 0 ? CHAIN_START : (this.opened().statements.hashAt.get(seq) ?? null);
  }

  private moveAside(reason: string): Quarantine {
    const stamp = new Date(this.options.wallMs()).toISOString().replace(/[-:.]/g, '');
    const base = `${this.options.path}.quarantine-${stamp}`;
    let movedTo = base;
    for (let n = 2; existsSync(movedTo); n++) movedTo = `${base}-${n}`;
    for (const part of ['', '-wal', '-shm']) {
      if (existsSync(this.options.path + part)) renameSync(this.options.path + part, movedTo + part);
    }
    return { movedTo, reason };
  }

  private describe(quarantine: Quarantine | null, modeFixed: boolean): OpenedStore {
    const { statements } = this.opened();
    const last = statements.last.get();
    return {
      stream: this.stream,
      committedSeq: this.lastSeq,
      head: this.head,
      lastRecordUs: last?.closed_us ?? null,
      lastUtcMs: last?.closed_utc_ms ?? null,
      state: Object.fromEntries(statements.allState.all().map(row => [row.key, row.value])),
      cursors: Object.fromEntries(this.cursors),
      quarantine,
      modeFixed,
    };
  }

  private writeState(patch: StatePatch): void {
    const { statements } = this.opened();
    for (const [key, value] of Object.entries(patch)) {
      if (value === null) statements.deleteState.run(key);
      else statements.setState.run(key, value);
    }
  }
}
