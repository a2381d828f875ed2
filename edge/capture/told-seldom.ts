/**
 * What a bad line or device does again and again: told at once, then at most once in a while with how much it came to
 * meanwhile, so that nothing is uncounted and the record is not filled with it.
 */
export interface ToldSeldomOptions {
  readonly everyMs: number;
  readonly monotonicMs: () => number;
  /** `count` in so many `times` since it was last told; `atUs` when the first of them was. */
  readonly tell: (count: number, atUs: number, times: number) => void;
}

export class ToldSeldom {
  private readonly options: ToldSeldomOptions;
  private toldMs = Number.NEGATIVE_INFINITY;
  private count = 0;
  private times = 0;
  private sinceUs = 0;

  constructor(options: ToldSeldomOptions) {
    this.options = options;
  }

  add(count: number, atUs: number): void {
    if (this.count === 0) this.sinceUs = atUs;
    this.count += count;
    this.times += 1;
    this.tick();
  }

  /** Call a few times a second. */
  tick(): void {
    if (this.options.monotonicMs() - this.toldMs >= this.options.everyMs) this.flush();
  }

  /** What waits is told now. */
  flush(): void {
    const { count, times, sinceUs } = this;
    if (count === 0) return;
    this.count = 0;
    this.times = 0;
    this.toldMs = this.options.monotonicMs();
    this.options.tell(count, sinceUs, times);
  }
}
