/** Timers that end together. */
export class Timers {
  private timers: NodeJS.Timeout[] = [];

  every(ms: number, task: () => void): void {
    this.timers.push(setInterval(task, ms));
  }

  /** `task` comes after what `prepare` lets in from outside. */
  everyWith(prepare: () => void, ms: number, task: () => void): void {
    this.every(ms, () => {
      prepare();
      setImmediate(task);
    });
  }

  stop(): void {
    for (const timer of this.timers) clearInterval(timer);
    this.timers = [];
  }

  get running(): boolean {
    return this.timers.length > 0;
  }
}
