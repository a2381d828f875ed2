/**
 * How far this edge's clock is from a store's, by question and answer (the four times of RFC 5905, section 8):
 * offset = ((t1 − t2) + (t4 − t3)) ÷ 2, edge minus store; half of the round trip is how far that may be off.
 * Of the last answers the one with the shortest round trip counts. Nothing is set by it.
 */
import type { TimeAnswer } from '#core/messages/time-answer';

const EVERY_MS = 10_000;
/** The first few come quickly. */
const FIRST = 3;
const FIRST_EVERY_MS = 1000;
const KEPT = 8;
/** An answer that took longer says little, and may be of another life of this program. */
const LATE_MS = 5000;
/** Without an answer for so long nothing is known any more. */
const STALE_MS = 600_000;
/** A quartz may be wrong by this while an answer ages (50 ppm is an ordinary one). */
const DRIFT = 50e-6;

export interface OffsetMeterOptions {
  readonly stores: readonly string[];
  readonly monotonicMs: () => number;
  /** Record time, ms with fractions: t1 and t4 are read on it. */
  readonly recordNowMs: () => number;
  /** Asks now or not at all; false without a connection. */
  readonly ask: (id: number) => boolean;
}

interface Measured {
  /** UTC of the store minus record time, ms. */
  readonly storeMinusRecordMs: number;
  readonly uncertaintyMs: number;
  readonly atMs: number;
}

export class OffsetMeter {
  private readonly options: OffsetMeterOptions;
  private nextId = 1;
  private asked: { id: number; recordMs: number; atMs: number } | null = null;
  private answers = 0;
  private measured: Measured[] = [];

  constructor(options: OffsetMeterOptions) {
    this.options = options;
  }

  /** About once a second. */
  tick(): void {
    const now = this.options.monotonicMs();
    const every = this.answers < FIRST ? FIRST_EVERY_MS : EVERY_MS;
    if (this.asked && now - this.asked.atMs < every) return;
    const id = this.nextId++;
    const recordMs = this.options.recordNowMs();
    this.asked = this.options.ask(id) ? { id, recordMs, atMs: now } : null;
  }

  /** Call as soon as it has come. True when it was asked for. */
  answer({ store, id, receivedMs, sentMs }: TimeAnswer): boolean {
    const { options, asked } = this;
    const t4 = options.recordNowMs();
    const now = options.monotonicMs();
    if (!asked || asked.id !== id || !options.stores.includes(store) || now - asked.atMs > LATE_MS)
      return false;
    const held = sentMs - receivedMs;
    const roundTrip = t4 - asked.recordMs - held;
    if (held < 0 || roundTrip < 0) return false;
    // Several stores may answer one question; the first is as good as any.
    this.asked = { ...asked, id: 0 };
    this.answers += 1;
    const storeMinusRecordMs = (receivedMs - asked.recordMs + (sentMs - t4)) / 2;
    this.measured = [
      ...this.measured.slice(1 - KEPT),
      { storeMinusRecordMs, uncertaintyMs: roundTrip / 2, atMs: now },
    ];
    return true;
  }

  /** UTC of the store minus record time, with half of the round trip; null while it is not known. */
  best(): { readonly storeMinusRecordMs: number; readonly uncertaintyMs: number } | null {
    const now = this.options.monotonicMs();
    const aged = this.measured
      .filter(({ atMs }) => now - atMs <= STALE_MS)
      .map(one => ({ ...one, uncertaintyMs: one.uncertaintyMs + (now - one.atMs) * DRIFT }));
    return aged.reduce<(typeof aged)[number] | null>(
      (best, one) => (best && best.uncertaintyMs <= one.uncertaintyMs ? best : one),
      null,
    );
  }
}
