/** A refused acknowledgement is worth a durable event, but a peer that repeats it must not fill the record. */
import type { AckVerdict } from '../outbox/outbox-types.ts';

const RECORD_EVERY_MS = 60_000;
/** An old stream's retained acknowledgement comes with every connection: counted, not recorded. */
const RECORDED: readonly AckVerdict[] = ['wrongHead', 'future', 'stale'];

export class RefusalLimiter {
  private readonly monotonicMs: () => number;
  private readonly lastMs = new Map<AckVerdict, number>();

  constructor(monotonicMs: () => number) {
    this.monotonicMs = monotonicMs;
  }

  shouldRecord(verdict: AckVerdict): boolean {
    if (!RECORDED.includes(verdict)) return false;
    const now = this.monotonicMs();
    const last = this.lastMs.get(verdict);
    if (last !== undefined && now - last < RECORD_EVERY_MS) return false;
    this.lastMs.set(verdict, now);
    return true;
  }
}
