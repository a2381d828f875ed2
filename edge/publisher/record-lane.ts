/**
 * The durable lane: committed batches in order, a bounded window of them in flight, released only when
 * every required store has acknowledged. The broker's confirmation (PUBACK) paces the socket and releases
 * nothing.
 *
 * Invariants
 * - watermark = lowest cursor; it moves only through `acknowledged` and, back, through `rewound`;
 * - watermark < nextSeq ≤ watermark + WINDOW + 1, and nothing above `committedSeq` is ever sent;
 * - a batch that no store commits is sent again from the watermark, first after 1.5 s, at last every 10 s.
 */
import type { Origin } from '#core/messages/common';
import type { RecordMessage } from '#core/messages/record';
import type { InternalEvents } from '../internal-events.ts';
import type { Outbox } from '../outbox/outbox-client.ts';
import type { StoredBatch } from '../outbox/outbox-types.ts';

export const WINDOW = 200;
const RETRY_FIRST_MS = 1500;
const RETRY_MAX_MS = 10_000;
/** At most this much on its way to the broker unconfirmed, so that a live summary never waits behind it. */
const UNCONFIRMED_BATCHES = 16;
const UNCONFIRMED_BYTES = 256 * 1024;
/** A broker that confirms nothing for this long gets a new connection. */
const SILENT_MS = 15_000;
/** Older than this when first sent: the batch comes from the backlog. */
const HISTORICAL_US = 5_000_000;

export interface RecordLaneOptions {
  readonly outbox: Pick<Outbox, 'read'>;
  readonly stream: string;
  readonly origin: Origin;
  readonly committedSeq: number;
  /** Every required store with where it stands. */
  readonly cursors: Readonly<Record<string, number>>;
  /** True once the broker has confirmed, false when the connection ended first. */
  readonly publish: (record: RecordMessage) => Promise<boolean>;
  readonly reconnect: () => void;
  readonly onReadFailed: (error: unknown) => void;
  readonly monotonicMs: () => number;
  readonly recordNowUs: () => number;
  readonly events: InternalEvents;
}

interface Flight {
  readonly sentMs: number;
  confirmedMs: number | null;
}

export class RecordLane {
  private readonly options: RecordLaneOptions;
  private readonly cursors: Map<string, number>;
  private committedSeq: number;
  private nextSeq: number;
  private connected = false;
  /** Raised by every connection and every return to the watermark: what belongs to an older one is void. */
  private generation = 0;
  private connection = 0;
  private pumping = false;
  private unconfirmed = 0;
  private unconfirmedBytes = 0;
  private retryMs = RETRY_FIRST_MS;
  private advancedMs: number;
  private readonly flights = new Map<number, Flight>();

  constructor(options: RecordLaneOptions) {
    this.options = options;
    this.cursors = new Map(Object.entries(options.cursors));
    this.committedSeq = options.committedSeq;
    this.nextSeq = this.watermark + 1;
    this.advancedMs = options.monotonicMs();
  }

  /** Everything up to here is committed by every required store. */
  get watermark(): number {
    return Math.min(this.committedSeq, ...this.cursors.values());
  }

  /** Batches committed here that some required store has not acknowledged. */
  get waiting(): number {
    return this.committedSeq - this.watermark;
  }

  get committedUpTo(): number {
    return this.committedSeq;
  }

  /** How long the watermark has stood still while batches wait, ms. */
  get stuckMs(): number {
    return this.waiting === 0 ? 0 : this.options.monotonicMs() - this.advancedMs;
  }

  positions(): Record<string, number> {
    return Object.fromEntries(this.cursors);
  }

  connect(): void {
    this.connected = true;
    this.connection += 1;
    this.unconfirmed = 0;
    this.unconfirmedBytes = 0;
    this.retryMs = RETRY_FIRST_MS;
    this.restart();
  }

  disconnect(): void {
    this.connected = false;
    this.generation += 1;
    this.flights.clear();
  }

  committed(lastSeq: number): void {
    if (this.waiting === 0) this.advancedMs = this.options.monotonicMs();
    this.committedSeq = lastSeq;
    void this.pump();
  }

  /** A store's cursor has moved (the outbox has judged the claim). */
  acknowledged(store: string, upto: number): void {
    const before = this.watermark;
    this.cursors.set(store, upto);
    const { watermark } = this;
    if (watermark === before) return;
    this.advancedMs = this.options.monotonicMs();
    this.retryMs = RETRY_FIRST_MS;
    for (const seq of this.flights.keys()) if (seq <= watermark) this.flights.delete(seq);
    this.nextSeq = Math.max(this.nextSeq, watermark + 1);
    void this.pump();
  }

  /** A store has lost what it had: everything after `upto` is sent again. */
  rewound(store: string, upto: number): void {
    this.cursors.set(store, upto);
    this.advancedMs = this.options.monotonicMs();
    this.retryMs = RETRY_FIRST_MS;
    if (upto === this.watermark) this.restart();
  }

  /** Call a few times a second: looks for batches that nobody commits. */
  tick(): void {
    if (!this.connected) return;
    const now = this.options.monotonicMs();
    const oldest = this.flights.get(this.watermark + 1);
    if (oldest?.confirmedMs != null) {
      if (now - Math.max(oldest.confirmedMs, this.advancedMs) > this.retryMs) {
        this.options.events.emit('recordsResent', { from: this.watermark + 1, sent: this.nextSeq - 1 });
        this.retryMs = Math.min(RETRY_MAX_MS, this.retryMs * 2);
        this.restart();
      }
    } else if (oldest && now - oldest.sentMs > SILENT_MS) {
      this.options.events.emit('brokerSilent');
      this.options.reconnect();
    }
    void this.pump();
  }

  private restart(): void {
    this.generation += 1;
    this.flights.clear();
    this.nextSeq = this.watermark + 1;
    void this.pump();
  }

  private room(): number {
    if (!this.connected || this.unconfirmedBytes >= UNCONFIRMED_BYTES) return 0;
    return Math.min(
      this.committedSeq - this.nextSeq + 1,
      this.watermark + WINDOW - this.nextSeq + 1,
      UNCONFIRMED_BATCHES - this.unconfirmed,
    );
  }

  private async pump(): Promise<void> {
    if (this.pumping) return;
    this.pumping = true;
    try {
      while (this.room() > 0) {
        const { generation } = this;
        const bytes = UNCONFIRMED_BYTES - this.unconfirmedBytes;
        const batches = await this.options.outbox.read(this.nextSeq, this.room(), bytes);
        if (generation !== this.generation) continue;
        if (batches.length === 0) break;
        for (const batch of batches) this.send(batch);
      }
    } catch (error) {
      this.options.onReadFailed(error);
    } finally {
      this.pumping = false;
    }
  }

  private send(batch: StoredBatch): void {
    const { options, generation, connection } = this;
    // An acknowledgement may have overtaken the read.
    if (batch.seq !== this.nextSeq) return;
    this.nextSeq = batch.seq + 1;
    const flight: Flight = { sentMs: options.monotonicMs(), confirmedMs: null };
    this.flights.set(batch.seq, flight);
    this.unconfirmed += 1;
    this.unconfirmedBytes += batch.body.length;
    options.events.emit('recordsSent', { seq: batch.seq });
    const record: RecordMessage = {
      origin: options.origin,
      stream: options.stream,
      seq: batch.seq,
      prev: batch.prev,
      hash: batch.hash,
      historical: options.recordNowUs() - batch.closedUs > HISTORICAL_US,
      body: batch.body,
      ...(batch.reduced ? { reduced: batch.reduced } : {}),
    };
    void options.publish(record).then(confirmed => {
      if (connection !== this.connection) return;
      this.unconfirmed -= 1;
      this.unconfirmedBytes -= batch.body.length;
      if (generation === this.generation && confirmed) flight.confirmedMs = options.monotonicMs();
      void this.pump();
    });
  }
}
