/** After a longer sleep than this (a suspended laptop) simulated time goes on from where it stood. */
const MAX_CATCH_UP_S = 2;

/**
 * How far simulated time may go: with the clock it is given, `speed` times as fast, standing while it is held.
 * Never back; a change of speed or a hold changes what comes, not what was.
 */
export class Pace {
  private lastMs: number | null = null;
  private reachedS = 0;
  private factor: number;
  private standing = false;

  constructor(speed: number) {
    this.factor = speed;
  }

  get speed(): number {
    return this.factor;
  }

  /** Simulated time that was due when it was asked last, s. */
  get simulatedS(): number {
    return this.reachedS;
  }

  /** Simulated time that is due at `nowMs` of a monotonic clock, s. */
  dueS(nowMs: number): number {
    const passedS = this.lastMs === null || this.standing ? 0 : (nowMs - this.lastMs) / 1000;
    this.lastMs = nowMs;
    if (passedS <= MAX_CATCH_UP_S) this.reachedS += passedS * this.factor;
    return this.reachedS;
  }

  setSpeed(factor: number, nowMs: number): void {
    this.dueS(nowMs);
    this.factor = factor;
  }

  hold(nowMs: number): void {
    this.dueS(nowMs);
    this.standing = true;
  }

  goOn(nowMs: number): void {
    this.dueS(nowMs);
    this.standing = false;
  }
}
