/** One step after another, for as long as there is more; slower and slower while steps fail, never given up. */
export interface StepLoopOptions {
  /** True when there may be more at once. */
  readonly step: () => Promise<boolean>;
  readonly onFailed: (error: Error, retryMs: number) => void;
}

const IDLE_MS = 1000;
const RETRY_MIN_MS = 500;
const RETRY_MAX_MS = 30_000;

export class StepLoop {
  private readonly options: StepLoopOptions;
  private timer: NodeJS.Timeout | null = null;
  private running: Promise<void> = Promise.resolve();
  private retryMs = RETRY_MIN_MS;
  /** A step that is long may look, and end early. */
  isStopped = false;

  constructor(options: StepLoopOptions) {
    this.options = options;
  }

  start(): void {
    this.schedule(0);
  }

  /** Resolves when the running step has ended. */
  async stop(): Promise<void> {
    this.isStopped = true;
    if (this.timer) clearTimeout(this.timer);
    await this.running;
  }

  private schedule(delayMs: number): void {
    if (this.isStopped) return;
    this.timer = setTimeout(() => {
      this.running = this.turn();
    }, delayMs);
  }

  private async turn(): Promise<void> {
    try {
      const more = await this.options.step();
      this.retryMs = RETRY_MIN_MS;
      this.schedule(more ? 0 : IDLE_MS);
    } catch (error) {
      this.options.onFailed(error as Error, this.retryMs);
      this.schedule(this.retryMs);
      this.retryMs = Math.min(2 * this.retryMs, RETRY_MAX_MS);
    }
  }
}
