/** Reports over the process channel: of one kind at most one a second, with how many it stands for. */
export class TellLimiter<T> {
  private readonly tell: (report: T, count: number) => void;
  private readonly monotonicMs: () => number;
  private readonly waiting = new Map<string, { lastMs: number; count: number; report: T }>();

  constructor(tell: (report: T, count: number) => void, monotonicMs: () => number) {
    this.tell = tell;
    this.monotonicMs = monotonicMs;
  }

  say(name: string, report: T): void {
    const now = this.monotonicMs();
    // Names that strangers choose fill neither the memory nor the channel: what is too many goes under one.
    const key = this.waiting.has(name) || this.waiting.size < MOST_KEYS ? name : OTHERS;
    const known = this.waiting.get(key);
    if (known && now - known.lastMs < EVERY_MS) {
      known.count += 1;
      known.report = report;
      return;
    }
    this.tell(report, 1 + (known?.count ?? 0));
    this.waiting.set(key, { lastMs: now, count: 0, report });
  }

  /** Call about once a second: what was held back is told. */
  flush(): void {
    const now = this.monotonicMs();
    for (const [key, known] of this.waiting) {
      if (now - known.lastMs < EVERY_MS) continue;
      if (known.count > 0) this.tell(known.report, known.count);
      this.waiting.delete(key);
    }
  }
}

const EVERY_MS = 1000;
const MOST_KEYS = 256;
const OTHERS = '';
