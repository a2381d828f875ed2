import type { SourceClock } from '../../../edge/source/source-clock.ts';

/** A clock that moves when told to; timers fire on the way, in order. */
export class FakeClock implements SourceClock {
  private timeUs: number;
  private readonly timers = new Set<{ atUs: number; fire: () => void }>();

  constructor(startUs = 1_000_000_000) {
    this.timeUs = startUs;
  }

  nowUs(): number {
    return this.timeUs;
  }

  after(delayMs: number, fire: () => void): () => void {
    const timer = { atUs: this.timeUs + delayMs * 1000, fire };
    this.timers.add(timer);
    return () => {
      this.timers.delete(timer);
    };
  }

  get pending(): number {
    return this.timers.size;
  }

  /** Lets promises settle before each timer and at the end. */
  async advance(ms: number): Promise<void> {
    const end = this.timeUs + ms * 1000;
    for (;;) {
      await settle();
      const next = [...this.timers].filter(({ atUs }) => atUs <= end).sort((a, b) => a.atUs - b.atUs)[0];
      if (next === undefined) break;
      this.timers.delete(next);
      this.timeUs = Math.max(this.timeUs, next.atUs);
      next.fire();
    }
    this.timeUs = end;
    await settle();
  }
}

export async function settle(): Promise<void> {
  for (let i = 0; i < 20; i++) await Promise.resolve();
}
