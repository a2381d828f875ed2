/** How much is written in a day, measured: hours of the last day of running, each with its bytes. */

const HOUR_MS = 3_600_000;
const HOURS = 24;
/** Less says too little: a start is no ordinary hour. */
const TELLING_MS = 600_000;
const DAY_MS = 86_400_000;

export class WriteRate {
  private readonly monotonicMs: () => number;
  private readonly hours: { fromMs: number; bytes: number }[] = [];

  constructor(monotonicMs: () => number) {
    this.monotonicMs = monotonicMs;
  }

  add(bytes: number): void {
    const now = this.monotonicMs();
    const last = this.hours.at(-1);
    if (last && now - last.fromMs < HOUR_MS) last.bytes += bytes;
    else this.hours.push({ fromMs: now, bytes });
    if (this.hours.length > HOURS) this.hours.shift();
  }

  /** Null before ten minutes have been seen. */
  bytesPerDay(): number | null {
    const [first] = this.hours;
    if (!first) return null;
    const seenMs = this.monotonicMs() - first.fromMs;
    if (seenMs < TELLING_MS) return null;
    return (this.hours.reduce((sum, { bytes }) => sum + bytes, 0) * DAY_MS) / seenMs;
  }
}
