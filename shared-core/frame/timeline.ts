/**
 * Device time → record time, both integer µs: record time = device time + one offset per run of the device.
 *
 * - The offset is set when a run's first samples arrive: the newest of them has just ended.
 * - From then on durations are the device's own, whatever the arrivals do: late bytes move nothing.
 * - A restart sets it anew, never backwards: the time the device was off stays visible as a gap.
 * - After a reconnection the device is taken to have gone on, its 32-bit time perhaps wrapped, when that
 *   agrees with the arrivals to 2 s; else the offset is set anew.
 * - Only an absurd difference sets it anew within a run, and is counted: samples more than 2 s in the future,
 *   or more than 2 s late without exception for 5 s (a computer that was busy for a moment catches up sooner).
 *   A device clock that drifts therefore differs from arrivals by hardly more than 2 s.
 */
import type { SampleChunk } from '../sample/chunk.ts';

const WRAP_US = 2 ** 32;
const ABSURD_US = 2_000_000;
const LATE_FOR_US = 5_000_000;

export interface TimelineCounters {
  /** How often the offset was set anew because device time and arrivals disagreed absurdly. */
  reanchored: number;
}

export class Timeline {
  readonly counters: TimelineCounters = { reanchored: 0 };
  private readonly followsArrivals: boolean;
  private pauseUs: number;
  private offsetUs: number | null = null;
  private reopened = false;
  private ahead = false;
  private lateSinceUs: number | null = null;
  private lastStartUs = -1;
  private lastEndUs = 0;
  private differenceUs = 0;

  /**
   * `followsArrivals` false: the bytes come from a file as fast as they are read, arrivals mean nothing, and
   * `pauseUs` is put in place of the unknown time a restart took.
   */
  constructor(followsArrivals: boolean, pauseUs: number = 0) {
    this.followsArrivals = followsArrivals;
    this.pauseUs = pauseUs;
  }

  /** The sample period became known: what stands for the unknown time of a restart in a file, µs. */
  setPause(pauseUs: number): void {
    this.pauseUs = pauseUs;
  }

  /** The device began again: the next samples are anchored anew. */
  restart(): void {
    this.offsetUs = null;
  }

  /** A new connection: the decoder's device time begins again at the 32-bit counter. */
  reconnect(): void {
    this.reopened = true;
  }

  /** End of the newest sample, record time; 0 before the first. */
  get endUs(): number {
    return this.lastEndUs;
  }

  /** How far the newest sample's end lay after its arrival, µs (negative: it arrived later than it ended). */
  get aheadOfArrivalUs(): number {
    return this.differenceUs;
  }

  /** Turns `chunk.tUs` from device time into record time, in place. True where the offset was set anew. */
  place(chunk: SampleChunk, arrivalUs: number): boolean {
    const { tUs, n } = chunk;
    const first = tUs[0]!;
    const end = tUs[n - 1]! + (chunk.lengthUs?.[n - 1] ?? 0);
    let anew = false;
    if (this.offsetUs === null) {
      const wanted = this.followsArrivals ? arrivalUs - end : this.fileAnchorUs(arrivalUs) - first;
      this.offsetUs = this.notBefore(wanted, first);
      this.lateSinceUs = null;
    } else if (this.reopened) {
      const elapsedUs = arrivalUs - (end + this.offsetUs);
      this.offsetUs += Math.round(elapsedUs / WRAP_US) * WRAP_US;
      anew = this.followsArrivals && Math.abs(arrivalUs - (end + this.offsetUs)) > ABSURD_US;
      if (anew) this.offsetUs = this.notBefore(arrivalUs - end, first);
    } else if (this.followsArrivals) anew = this.mend(first, end, arrivalUs);
    this.reopened = false;
    if (anew) this.counters.reanchored++;
    // Whatever happened above, record time never stands still or runs back.
    if (first + this.offsetUs <= this.lastStartUs) this.offsetUs = this.notBefore(this.offsetUs, first);
    const offsetUs = this.offsetUs;
    for (let i = 0; i < n; i++) tUs[i] = tUs[i]! + offsetUs;
    this.lastStartUs = tUs[n - 1]!;
    this.lastEndUs = Math.max(this.lastEndUs, end + offsetUs, this.lastStartUs + 1);
    this.differenceUs = end + offsetUs - arrivalUs;
    return anew;
  }

  private mend(first: number, end: number, arrivalUs: number): boolean {
    const difference = end + this.offsetUs! - arrivalUs;
    if (difference > ABSURD_US) {
      const offsetUs = this.notBefore(arrivalUs - end, first);
      const moved = this.offsetUs! - offsetUs;
      this.lateSinceUs = null;
      if (moved > 0) this.offsetUs = offsetUs;
      // A device clock that is merely fast cannot be moved without overlap: said once, then followed.
      const anew = moved > ABSURD_US / 2 || !this.ahead;
      this.ahead = true;
      return anew;
    }
    this.ahead = false;
    if (difference >= -ABSURD_US) {
      this.lateSinceUs = null;
      return false;
    }
    this.lateSinceUs ??= arrivalUs;
    if (arrivalUs - this.lateSinceUs < LATE_FOR_US) return false;
    this.lateSinceUs = null;
    this.offsetUs = this.notBefore(arrivalUs - end, first);
    return true;
  }

  private fileAnchorUs(arrivalUs: number): number {
    return this.lastStartUs < 0 ? arrivalUs : this.lastEndUs + this.pauseUs;
  }

  /** The offset nearest to `offsetUs` that puts `first` at or after everything already placed. */
  private notBefore(offsetUs: number, first: number): number {
    return Math.max(Math.round(offsetUs), this.lastEndUs - first);
  }
}
