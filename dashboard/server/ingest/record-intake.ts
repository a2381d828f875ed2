/**
 * The durable lane: verified records wait here, go to the store many a transaction, and only then are
 * acknowledged. What does not fit or is refused is not acknowledged, so the edge keeps it and sends it again.
 */
import type { Health } from '#core/messages/health';
import type { RecordMessage } from '#core/messages/record';
import type { RigAddress } from '#core/topics/topics';
import type { ReportEvent } from '../internal-events.ts';
import type { CommitResult, StreamState, VerifiedRecord } from '../store/store.ts';
import { codeOf, storeErrorKind } from '../store/store-errors.ts';
import { verifyRecord } from './verify-record.ts';
import { whatIsLost } from './what-is-lost.ts';

type Sooner<T> = T | Promise<T>;

/** What the intake asks of a store: in this process, or a server over the network (store/record-store.ts). */
export interface IntakeStore {
  /** All of the batch is durable once this has returned or resolved. */
  commitRecords(batch: readonly VerifiedRecord[], receivedAt: string): Sooner<CommitResult>;
  startStreamAt(address: RigAddress, stream: string, first: number): Sooner<StreamState | null>;
  streamState(address: RigAddress, stream: string): Sooner<StreamState | null>;
}

export interface RecordIntakeOptions {
  readonly store: IntakeStore;
  /** What an error of that store asks for; SQLite's unless said otherwise. */
  readonly errorKind?: typeof storeErrorKind;
  readonly report: ReportEvent;
  readonly now: () => Date;
  readonly monotonicMs: () => number;
  /** Called after a commit with every record that was new, in order. */
  readonly onStored: (record: VerifiedRecord) => void;
  /** Called after a commit with where each touched stream stands. */
  readonly onStream: (state: StreamState) => void;
  /** Nothing can be stored for now, tried again every second; null when it can. */
  readonly onPaused: (error: Error | null) => void;
  /** The store is broken, not just busy: the program has to end. */
  readonly onFatal: (error: Error) => void;
}

const MAX_WAITING = 2000;
const BATCH = 100;
const RETRY_MS = 1000;
/** How long an edge is given to send a stream from its beginning before its word on where it begins counts. */
const SETTLE_MS = 20_000;

export class RecordIntake {
  private readonly options: RecordIntakeOptions;
  private waiting: VerifiedRecord[] = [];
  /** 1 after a batch was refused for its content, to find the record. */
  private batchSize = BATCH;
  private stopped = false;
  private committing: Promise<boolean> | null = null;
  /** Told when nothing waits, or nothing is waited for any more. */
  private idlers: (() => void)[] = [];
  /** Why nothing can be stored for now. */
  private paused: Error | null = null;
  private scheduled: NodeJS.Immediate | null = null;
  private retry: NodeJS.Timeout | null = null;
  /** Streams with records but no beginning yet, with when the first record came. */
  private readonly unbegun = new Map<string, number>();

  constructor(options: RecordIntakeOptions) {
    this.options = options;
  }

  get waitingCount(): number {
    return this.waiting.length;
  }

  offer(address: RigAddress, message: RecordMessage): void {
    const { report } = this.options;
    if (this.stopped) return;
    if (this.waiting.length >= MAX_WAITING) {
      report('intakeFull', { ...address });
      return;
    }
    const verified = verifyRecord(address, message);
    const where = { ...address, stream: message.stream, seq: message.seq };
    if (!verified.ok) {
      report(verified.event, where);
      return;
    }
    if (verified.note) report(verified.note, { ...where, reason: verified.record.unreadable });
    this.waiting.push(verified.record);
    this.schedule();
  }

  /** An edge says in its health up to where this store has acknowledged its stream. Rejects with the store's errors. */
  async hear(
    address: RigAddress,
    health: Pick<Health, 'stream' | 'origin'>,
    acknowledged: number,
  ): Promise<void> {
    await this.tellWhatIsLost(address, health, acknowledged);
    await this.startLate(address, health.stream, acknowledged);
  }

  private async startLate(address: RigAddress, stream: string, acknowledged: number): Promise<void> {
    const since = this.unbegun.get(keyOf(address, stream));
    if (since === undefined || this.options.monotonicMs() - since < SETTLE_MS) return;
    const first = acknowledged + 1;
    const state = await this.options.store.startStreamAt(address, stream, first);
    if (!state) return;
    this.unbegun.delete(keyOf(address, stream));
    this.options.report('streamStartsLate', { ...address, stream, first });
    this.options.onStream(state);
  }

  /** Tells an edge that takes this store to hold more than it does where it stands, so that it sends that again. */
  private async tellWhatIsLost(
    address: RigAddress,
    health: Pick<Health, 'stream' | 'origin'>,
    acknowledged: number,
  ): Promise<void> {
    const { store, report, onStream } = this.options;
    const known = await store.streamState(address, health.stream);
    const state = whatIsLost(known, address, health, acknowledged);
    if (!state) return;
    report('recordsLost', { ...address, stream: state.stream, upto: state.upto, acknowledged });
    onStream(state);
  }

  /** Resolves when nothing waits any more, or the store takes nothing for now. */
  async idle(): Promise<void> {
    if (this.waiting.length === 0 || this.stopped || this.paused) return;
    await new Promise<void>(resolve => this.idlers.push(resolve));
  }

  /** Commits what waits; called at the end, when nothing more comes. */
  async stop(): Promise<void> {
    this.stopped = true;
    if (this.scheduled) clearImmediate(this.scheduled);
    if (this.retry) clearTimeout(this.retry);
    this.scheduled = null;
    this.retry = null;
    await this.committing;
    while (this.waiting.length > 0 && (await this.commitBatch()));
    this.tellIdle();
  }

  private tellIdle(): void {
    for (const resolve of this.idlers.splice(0)) resolve();
  }

  private schedule(): void {
    if (this.scheduled || this.retry || this.committing || this.stopped) return;
    // After the sockets' turn: what has arrived together is committed together, and live messages get theirs.
    this.scheduled = setImmediate(() => {
      this.scheduled = null;
      this.committing = this.commitBatch();
      void this.committing.then(mayFollow => {
        this.committing = null;
        if (this.waiting.length === 0 || this.paused) this.tellIdle();
        else if (mayFollow) this.schedule();
      });
    });
  }

  /** One at a time: an acknowledgement never overtakes an earlier one of its stream. True when the next may follow. */
  private async commitBatch(): Promise<boolean> {
    const { store, report, now, onStored, onStream } = this.options;
    const batch = this.waiting.slice(0, this.batchSize);
    try {
      const result = await store.commitRecords(batch, now().toISOString());
      this.waiting = this.waiting.slice(batch.length);
      this.batchSize = BATCH;
      this.pause(null);
      let stored = 0;
      result.outcomes.forEach((outcome, index) => {
        const record = batch[index]!;
        const { stream, seq, hash } = record.message;
        const where = { site: record.site, rig: record.rig, stream, seq };
        if (outcome === 'duplicate') report('recordDuplicate', where);
        else if (outcome === 'conflict') report('identityConflict', { ...where, hash });
        else {
          stored++;
          if (record.message.reduced) report('recordReduced', { ...where, to: record.message.reduced.to });
          onStored(record);
        }
      });
      if (stored > 0) report('recordStored', {}, stored);
      for (const passId of result.foreignPasses) report('passForeign', { passId });
      for (const state of result.streams) this.settle(state, onStream);
      return true;
    } catch (error) {
      return this.fail(error as Error, batch);
    }
  }

  private settle(state: StreamState, onStream: (state: StreamState) => void): void {
    const key = keyOf(state, state.stream);
    if (state.first === null && !this.unbegun.has(key)) this.unbegun.set(key, this.options.monotonicMs());
    if (state.first !== null) this.unbegun.delete(key);
    if (state.chainBroken) {
      this.options.report('chainBroken', {
        site: state.site,
        rig: state.rig,
        stream: state.stream,
        seq: state.upto + 1,
      });
    }
    onStream(state);
  }

  /** True when the next try may follow at once. */
  private fail(error: Error, batch: readonly VerifiedRecord[]): boolean {
    const { report, onFatal } = this.options;
    report('storeFailed', { code: codeOf(error), reason: error.message, waiting: this.waiting.length });
    const kind = (this.options.errorKind ?? storeErrorKind)(error);
    if (kind === 'broken') {
      onFatal(error);
      return false;
    }
    if (kind !== 'passing') {
      this.isolate(batch, error.message);
      return true;
    }
    this.pause(error);
    if (this.stopped) return false;
    this.retry = setTimeout(() => {
      this.retry = null;
      if (this.waiting.length > 0) this.schedule();
    }, RETRY_MS);
    return false;
  }

  private pause(error: Error | null): void {
    if (error === null && this.paused === null) return;
    if (error === null || this.paused === null) {
      this.options.report(error ? 'storePaused' : 'storeResumed', error ? { code: codeOf(error) } : {});
    }
    this.paused = error;
    this.options.onPaused(error);
  }

  /** One record's content must not hold up the others: found one by one, it is kept raw. */
  private isolate(batch: readonly VerifiedRecord[], reason: string): void {
    const [record] = batch;
    if (batch.length > 1 || !record) this.batchSize = 1;
    else if (record.body) {
      this.waiting[0] = { ...record, body: null, samples: null, unreadable: reason.slice(0, 300) };
    } else this.waiting.shift();
  }
}

function keyOf(address: RigAddress, stream: string): string {
  return `${address.site}/${address.rig}/${stream}`;
}
