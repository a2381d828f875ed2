/**
 * From samples, events and passes to committed batches. Closes a batch every `batchS`, hands the queue to
 * the store's thread one transaction at a time, and holds at most 30 s in RAM while the store stalls.
 *
 * Invariants
 * - batches are committed in the order they were closed;
 * - events and passes are told to the world (onCommitted) only after their batch is durable;
 * - samples that found no room are a recorded gap with its cause, never silently absent.
 */

import type { ClockMapRow } from '#core/messages/clock-map';
import type { RigEvent } from '#core/messages/event';
import type { PassMessage } from '#core/messages/pass';
import type { SignedSeal } from '#core/record/seal';
import { concatChunks, type SampleChunk } from '#core/sample/chunk';
import type { RecordClock } from '../clock/record-clock.ts';
import type { InternalEvents } from '../internal-events.ts';
import type { Outbox } from '../outbox/outbox-client.ts';
import { type AppendResult, type PendingBatch, type StatePatch, StoreError } from '../outbox/outbox-types.ts';
import { type BatchBody, type BodyHeader, batchBodies } from './batch-bodies.ts';

const QUEUE_MS = 30_000;
const QUEUE_BYTES = 32 * 1024 * 1024;
/** A source that can wait (a file) is asked to above this. */
const PRESSURE_BYTES = 4 * 1024 * 1024;
/** A batch that grows to this many samples before its time is closed early. */
const BATCH_SAMPLES = 10_000;
const LAGGING_MS = 2000;
const RETRY_FULL_MS = 1000;
/** For the 99th percentile of how long a commit takes: about the last minute. */
const SYNC_TIMES = 60;

export interface RecorderOptions {
  readonly outbox: Pick<Outbox, 'append'>;
  readonly clock: RecordClock;
  readonly events: InternalEvents;
  readonly monotonicMs: () => number;
  readonly header: () => BodyHeader;
  /** State to resume from, taken when a batch is closed with these in it. */
  readonly resumeState: (events: readonly RigEvent[], passes: readonly PassMessage[]) => StatePatch;
  readonly onCommitted: (
    lastSeq: number,
    events: readonly RigEvent[],
    passes: readonly PassMessage[],
    /** They hold more than seals. */
    grew: boolean,
  ) => void;
  /** Samples between these record times were lost before the store. Called once there is room again, or with a pass that closes. */
  readonly onGap: (gap: { fromUs: number; toUs: number; samples: number }) => void;
  /** The store cannot go on: the program ends. */
  readonly onFailed: (error: StoreError) => void;
}

interface Queued {
  readonly batch: PendingBatch;
  readonly content: BatchBody;
  readonly queuedMs: number;
}

export type RecordingState = 'ok' | 'lagging' | 'failed';

export class Recorder {
  private readonly options: RecorderOptions;
  private chunks: SampleChunk[] = [];
  private openSamples = 0;
  private events: RigEvent[] = [];
  private passes: PassMessage[] = [];
  private seals: SignedSeal[] = [];
  private clockMap: ClockMapRow[] = [];
  private newestSampleUs = 0;
  private queue: Queued[] = [];
  private queueBytes = 0;
  private lost: { fromUs: number; toUs: number; samples: number } | null = null;
  private flushing: Promise<void> | null = null;
  private failure: StoreError | null = null;
  private full = false;
  private retryTimer: NodeJS.Timeout | null = null;
  private storedUs: number | null = null;
  private eased: (() => void)[] = [];
  private readonly syncTimes: number[] = [];

  constructor(options: RecorderOptions) {
    this.options = options;
  }

  addSamples(chunk: SampleChunk): void {
    if (chunk.n === 0) return;
    const lastUs = chunk.tUs[chunk.n - 1]!;
    this.newestSampleUs = Math.max(this.newestSampleUs, lastUs);
    if (this.hasRoom()) {
      this.chunks.push(chunk);
      this.openSamples += chunk.n;
      if (this.openSamples >= BATCH_SAMPLES) this.closeBatch();
      return;
    }
    this.lost ??= { fromUs: chunk.tUs[0]!, toUs: lastUs, samples: 0 };
    this.lost.toUs = lastUs;
    this.lost.samples += chunk.n;
  }

  addEvent(event: RigEvent): void {
    this.events.push(event);
  }

  addPass(pass: PassMessage): void {
    this.passes.push(pass);
  }

  addSeal(seal: SignedSeal): void {
    this.seals.push(seal);
  }

  addClockRow(row: ClockMapRow): void {
    this.clockMap.push(row);
  }

  /** Closes the batch that is open, if anything is in it, and sends the queue on its way. */
  closeBatch(): void {
    const closesPass = this.passes.some(({ state }) => state === 'closed');
    if (this.lost && (closesPass || this.hasRoom())) {
      const gap = this.lost;
      this.lost = null;
      this.options.events.emit('recordingGap', gap);
      this.options.onGap(gap);
    }
    const { chunks, events, passes, seals, clockMap, options } = this;
    if (chunks.length + events.length + passes.length + seals.length + clockMap.length > 0) {
      this.chunks = [];
      this.openSamples = 0;
      this.events = [];
      this.passes = [];
      this.seals = [];
      this.clockMap = [];
      const samples = chunks.length === 0 ? null : concatChunks(chunks);
      const bodies = batchBodies(
        { ...options.header(), ...(clockMap.length > 0 ? { clockMap } : {}) },
        { samples, events, passes, seals },
      );
      if (bodies.length > 1) options.events.emit('batchSplit', { bodies: bodies.length });
      const closedUs = Math.max(options.clock.nowUs(), this.newestSampleUs);
      // Of this moment, also where the samples of a fast device lie ahead of it.
      const closedUtcMs = options.clock.nowUs() / 1000 + options.clock.utcMinusRecordMs();
      // Passes as they are on record: one that was too large has been cut.
      const state = options.resumeState(
        events,
        bodies.flatMap(content => content.passes),
      );
      bodies.forEach((content, i) => {
        if (content.deviationsCut > 0) options.events.emit('listCut', { left: content.deviationsCut });
        // The state holds once the whole batch is in; all bodies of one batch share a transaction.
        const batch = {
          body: content.text,
          closedUs,
          closedUtcMs,
          state: i === bodies.length - 1 ? { ...state, ...options.clock.mark() } : {},
        };
        this.queue.push({ batch, content, queuedMs: options.monotonicMs() });
        this.queueBytes += content.text.length;
      });
    }
    this.flush();
  }

  /** Commits what is there; resolves when it is durable or cannot be. */
  async drain(): Promise<void> {
    this.closeBatch();
    while (this.flushing) await this.flushing;
  }

  /** Settles once the queue is short again; undefined when it is. */
  pressure(): Promise<void> | undefined {
    if (this.queueBytes < PRESSURE_BYTES || this.failure) return undefined;
    return new Promise(resolve => this.eased.push(resolve));
  }

  stop(): void {
    if (this.retryTimer) clearTimeout(this.retryTimer);
  }

  get state(): RecordingState {
    if (this.failure || this.full) return 'failed';
    return this.lagMs > LAGGING_MS ? 'lagging' : 'ok';
  }

  /** Age of the oldest batch that is not durable yet, ms. */
  get lagMs(): number {
    const [oldest] = this.queue;
    return oldest ? this.options.monotonicMs() - oldest.queuedMs : 0;
  }

  /** Everything up to this record time is durable; null before the first commit. */
  get storedToUs(): number | null {
    return this.storedUs;
  }

  get syncP99Ms(): number | null {
    if (this.syncTimes.length === 0) return null;
    const sorted = [...this.syncTimes].sort((a, b) => a - b);
    return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * 0.99))]!;
  }

  private hasRoom(): boolean {
    return this.lagMs < QUEUE_MS && this.queueBytes < QUEUE_BYTES;
  }

  private flush(): void {
    if (this.flushing || this.failure || this.retryTimer || this.queue.length === 0) return;
    this.flushing = this.commit().finally(() => {
      this.flushing = null;
      if (this.queue.length > 0) this.flush();
    });
  }

  private async commit(): Promise<void> {
    const { options } = this;
    const sent = [...this.queue];
    const result = await this.append(sent);
    if (!result) return;
    this.full = false;
    this.queue = this.queue.slice(sent.length);
    this.queueBytes -= sent.reduce((sum, queued) => sum + queued.content.text.length, 0);
    this.storedUs = sent.at(-1)!.batch.closedUs;
    if (this.queueBytes < PRESSURE_BYTES) for (const resolve of this.eased.splice(0)) resolve();
    this.syncTimes.push(result.tookMs);
    if (this.syncTimes.length > SYNC_TIMES) this.syncTimes.shift();
    options.events.emit('batchCommitted', { upto: result.lastSeq }, sent.length);
    options.onCommitted(
      result.lastSeq,
      sent.flatMap(queued => queued.content.events),
      sent.flatMap(queued => queued.content.passes),
      sent.some(({ content: { samples, events, passes } }) => samples || events.length + passes.length > 0),
    );
  }

  /** Null when the store did not take them: it is full (tried again later) or has failed. */
  private async append(sent: readonly Queued[]): Promise<AppendResult | null> {
    const { options } = this;
    try {
      return await options.outbox.append(sent.map(queued => queued.batch));
    } catch (error) {
      const failure = error instanceof StoreError ? error : new StoreError('failed', String(error));
      if (failure.kind === 'full') {
        this.full = true;
        options.events.emit('storeRetry', { reason: failure.message });
        this.retryTimer = setTimeout(() => {
          this.retryTimer = null;
          this.flush();
        }, RETRY_FULL_MS);
        return null;
      }
      this.failure = failure;
      options.onFailed(failure);
      return null;
    }
  }
}
