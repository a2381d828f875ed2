/** Work that would hold up everything else when much of it is asked for at once: done one by one, and only so many wait. */
export class OneAtATime {
  private readonly mostWaiting: number;
  private last: Promise<unknown> = Promise.resolve();
  private waiting = 0;

  constructor(mostWaiting: number) {
    this.mostWaiting = mostWaiting;
  }

  /** Null where too many wait already: it is not begun. */
  run<T>(work: () => Promise<T>): Promise<T> | null {
    if (this.waiting > this.mostWaiting) return null;
    this.waiting++;
    const mine = this.last.then(work, work).finally(() => {
      this.waiting--;
    });
    this.last = mine.catch(() => undefined);
    return mine;
  }
}
