/**
 * The durable outbox: a hash chain of batches in SQLite that only grows, with a cursor for each required store.
 *
 * Invariants
 * - seq runs 1, 2, 3 … without a hole along one stream; row and hash are made in one transaction;
 * - a cursor only moves to a seq whose hash the store has named correctly; back, at most every 10 s;
 * - an acknowledgement deletes nothing; for room, old samples give way (retention.ts), never a row;
 * - a file that fails its checks is moved aside whole and a new stream begins: seq is never used twice.
 *
 * Synchronous; lives in the worker thread (capture-worker.ts).
 */
import { randomBytes } from 'node:crypto';
import { CHAIN_START } from '#core/record/chain';
import { firstSeqSince, hashesOf } from './batch-hashes.ts';
import { checkChain, DamagedStore, hashBatch, problemOf } from './chain-check.ts';
import { type Chain, Cursors } from './cursors.ts';
import { HeadWitness, witnessedHead, witnessProblem } from './head-witness.ts';
import { moveAside } from './move-aside.ts';
import { asStoreError, isDamage, lockStore, openDatabase, type SqliteDatabase } from './outbox-database.ts';
import {
  type AckClaim,
  type AckVerdict,
  type AppendResult,
  type OpenedStore,
  type PendingBatch,
  type Quarantine,
  type RoomMade,
  type StatePatch,
  type StoredBatch,
  StoreError,
  type StoreStats,
} from './outbox-types.ts';
import { Retention } from './retention.ts';
import { RoomMaker, type RoomMakerOptions, type Standing } from './room-maker.ts';
import { batchOf, prepareStatements, type Statements } from './statements.ts';

/** Checked at every start, besides everything no store has yet. */
const CHECK_NEWEST = 600;

export interface OutboxStoreOptions extends RoomMakerOptions {
  readonly requiredStores: readonly string[];
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
  private cursors: Cursors | null = null;
  private readonly room: RoomMaker;
  private readonly witness: HeadWitness;

  constructor(options: OutboxStoreOptions) {
    this.options = options;
    this.room = new RoomMaker(options);
    this.witness = new HeadWitness(options.path);
  }

  /** Opens and checks; a damaged file is moved aside and a new stream begun. Throws StoreError. */
  open(): OpenedStore {
    try {
      this.room.beforeOpen();
      this.lock = lockStore(this.options.path);
      let quarantine: Quarantine | null = null;
      let modeFixed = false;
      try {
        modeFixed = this.openAndCheck();
      } catch (error) {
        if (!isDamage(error) && !(error instanceof DamagedStore)) throw error;
        this.closeDatabase();
        const reason = error instanceof Error ? error.message : String(error);
        quarantine = { reason, movedTo: moveAside(this.options.path, this.options.wallMs()) };
        modeFixed = this.openAndCheck();
      }
      return this.describe(quarantine, modeFixed);
    } catch (error) {
      this.close();
      throw asStoreError(error);
    }
  }

  /** Commits all of `batches` or none. On a full disk old samples give way first. Throws StoreError. */
  append(batches: readonly PendingBatch[]): AppendResult {
    const result = this.writing(batches, () => this.commit(batches));
    this.witness.write({ stream: this.stream, seq: this.lastSeq, hash: this.head });
    return result;
  }

  /** What the disk has no room for is tried once more when room was made. Throws StoreError. */
  private writing<T>(batches: readonly PendingBatch[], write: () => T): T {
    this.opened();
    this.room.beforeWrite(batches, this.standing());
    const attempt = (): T => {
      try {
        return write();
      } catch (error) {
        throw asStoreError(error);
      }
    };
    let result: T;
    try {
      result = attempt();
    } catch (error) {
      const isFull = error instanceof StoreError && error.kind === 'full';
      if (!isFull || !this.room.makeRoomOnFullDisk(this.standing())) throw error;
      result = attempt();
    }
    this.room.afterWrite(batches);
    return result;
  }

  private commit(batches: readonly PendingBatch[]): AppendResult {
    const { db, statements, cursors } = this.opened();
    const started = this.options.monotonicMs();
    let seq = this.lastSeq;
    let head = this.head;
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
      cursors.write();
    })();
    cursors.committed();
    const firstSeq = this.lastSeq + 1;
    this.lastSeq = seq;
    this.head = head;
    return { firstSeq, lastSeq: seq, head, tookMs: this.options.monotonicMs() - started };
  }

  /** Keeps state to resume from, without a batch. Throws StoreError. */
  saveState(patch: StatePatch): void {
    const { db } = this.opened();
    this.writing([], () => db.transaction(() => this.writeState(patch))());
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
        found.push(batchOf(row));
      }
    } catch (error) {
      throw asStoreError(error);
    }
    return found;
  }

  /** Judges a store's claim and moves its cursor if every part of it is right. Throws StoreError. */
  acknowledge(claim: AckClaim): AckVerdict {
    const { cursors } = this.opened();
    return this.writing([], () => cursors.judge(claim, this.chain()));
  }

  stats(): StoreStats {
    return this.room.stats(this.standing());
  }

  /** A short piece of work towards room in the store; call it about once a second. Throws StoreError. */
  makeRoom(): RoomMade {
    if (this.opened().cursors.isOverdue) this.writeCursors();
    try {
      return this.room.makeRoom(this.standing());
    } catch (error) {
      throw asStoreError(error);
    }
  }

  /** How many batches from `fromSeq` on have lost samples. */
  reducedFrom(fromSeq: number): number {
    return this.opened().statements.reducedFrom.get(fromSeq) ?? 0;
  }

  /** Hashes of the batches `fromSeq` to `toSeq`, at most `limit`. */
  hashes(fromSeq: number, toSeq: number, limit: number): string[] {
    return hashesOf(this.opened().statements, fromSeq, toSeq, limit);
  }

  firstSeqSince(recordUs: number): number {
    return firstSeqSince(this.opened().statements, this.lastSeq, recordUs);
  }

  close(): void {
    if (this.cursors?.isWritten === false) this.writeCursors();
    this.closeDatabase();
    this.witness.close();
    this.lock?.close();
    this.lock = null;
  }

  private closeDatabase(): void {
    this.statements = null;
    this.cursors = null;
    this.room.closed();
    this.db?.close();
    this.db = null;
  }

  private opened(): { db: SqliteDatabase; statements: Statements; cursors: Cursors } {
    const { db, statements, cursors } = this;
    if (!db || !statements || !cursors) throw new StoreError('failed', 'the store is not open');
    return { db, statements, cursors };
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
    const { requiredStores, monotonicMs } = this.options;
    const cursors = new Cursors(statements, requiredStores, this.lastSeq, monotonicMs);
    this.cursors = cursors;
    const waitingFrom = this.standing().watermark + 1;
    checkChain(statements, this.stream, Math.min(waitingFrom, this.lastSeq - CHECK_NEWEST + 1));
    cursors.check(this.chain());
    const problem = witnessProblem(witnessedHead(this.options.path), this.chain());
    if (problem) throw new DamagedStore(problem);
    this.room.opened({ db, statements, retention: new Retention(db, statements, this.stream, cursors) });
    return modeFixed;
  }

  private standing(): Standing {
    const { lastSeq } = this;
    return { watermark: this.cursors?.watermark(lastSeq) ?? 0, lastSeq };
  }

  private chain(): Chain {
    return { stream: this.stream, lastSeq: this.lastSeq, hashAt: seq => this.hashAt(seq) };
  }

  private hashAt(seq: number): string | null {
    return seq === 0 ? CHAIN_START : (this.opened().statements.hashAt.get(seq) ?? null);
  }

  private describe(quarantine: Quarantine | null, modeFixed: boolean): OpenedStore {
    const { statements, cursors } = this.opened();
    const last = statements.last.get();
    return {
      stream: this.stream,
      committedSeq: this.lastSeq,
      head: this.head,
      lastRecordUs: last?.closed_us ?? null,
      lastUtcMs: last?.closed_utc_ms ?? null,
      state: Object.fromEntries(statements.allState.all().map(row => [row.key, row.value])),
      cursors: cursors.all(),
      quarantine,
      modeFixed,
    };
  }

  /** Best effort: where the disk takes nothing now, the next batch takes them along. */
  private writeCursors(): void {
    const { db, cursors } = this.opened();
    try {
      this.writing([], () => db.transaction(() => cursors.write())());
      cursors.committed();
    } catch {
      // They stay as they are in the file: behind, which costs a resend.
    }
  }

  private writeState(patch: StatePatch): void {
    const { statements } = this.opened();
    for (const [key, value] of Object.entries(patch)) {
      if (value === null) statements.deleteState.run(key);
      else statements.setState.run(key, value);
    }
  }
}
