/**
 * Device time → record time, both integer µs: record time = device time + one offset per run of the device.
 *
 * - The offset is set when a run's first samples arrive: the newest of them has just ended.
 * - From then on durations are the device's own, whatever the arrivals do: late bytes move nothing.
 * - A restart sets it anew, never backwards: the time the device was off stays visible as a gap.
 * - After a reconnection the device is taken to have gone on, its 32-bit time perhaps wrapped, when that
 *   agrees with the arrivals to 2 s, or with how far it was from them before; else the offset is set anew.
 * - Only an absurd difference sets it anew within a run, and is counted: samples more than 2 s in the future,
 *   or more than 2 s late without exception for 5 s (a computer that was busy for a moment catches up sooner).
 *   A device clock that is slow therefore differs from arrivals by hardly more than 2 s. One that is fast runs
 *   ahead of them, since its samples follow each other without a gap.
 * - Where there is a gap, what runs ahead is brought back by it, and no gap is shortened by more than a tenth:
 *   that nothing was measured, and for how long, counts more than the hour.
 */
import type { SampleChunk } from '../sample/chunk.ts';

const WRAP_US = 2 ** 32;
const ABSURD_US = 2_000_000;
const LATE_FOR_US = 5_000_000;
/** Of a gap, when its end could only be put back in time. */
const KEPT_SHARE = 0.9;

export interface TimelineCounters {
  /** How often the offset was set anew because device time and arrivals disagreed absurdly. */
  reanchored: number;
  /** How often the device was found ahead of the arrivals: at 2 s, and whenever that has doubled. */
  ranAhead: number;
}

/** What there is to say of a placement. */
export type TimelineNews = keyof TimelineCounters | null;

export class Timeline {
  readonly counters: TimelineCounters = { reanchored: 0, ranAhead: 0 };
  private readonly followsArrivals: boolean;
  private pauseUs: number;
  private offsetUs: number | null = null;
  private reopened = false;
  /** Further ahead than this is news. */
  private tellAheadUs = ABSURD_US;
  private lateSinceUs: number | null = null;
  private lastStartUs = -1;
  private lastEndUs: number;
  private lastArrivalUs: number | null = null;
  private differenceUs = 0;

  /**
   * `followsArrivals` false: the bytes come from a file as fast as they are read, arrivals mean nothing, and
   * `pauseUs` is put in place of the unknown time a restart took; otherwise it took no less. `floorUs`: nothing is
   * placed before it.
   */
  constructor(followsArrivals: boolean, pauseUs: number = 0, floorUs: number = 0) {
    this.followsArrivals = followsArrivals;
    this.pauseUs = pauseUs;
    this.lastEndUs = floorUs;
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

  /** Turns `chunk.tUs` from device time into record time, in place. Says where the offset was set anew or runs ahead. */
  place(chunk: SampleChunk, arrivalUs: number): TimelineNews {
    const { tUs, n } = chunk;
    const first = tUs[0]!;
    const end = tUs[n - 1]! + (chunk.lengthUs?.[n - 1] ?? 0);
    /** For how long nothing was measured, by the arrivals. */
    const silentUs = Math.max(0, arrivalUs - (end - first) - (this.lastArrivalUs ?? arrivalUs));
    let news: TimelineNews = null;
    if (this.offsetUs === null) {
      this.offsetUs = this.followsArrivals
        ? this.notBefore(arrivalUs - end, first, this.offUs(silentUs))
        : this.notBefore(this.fileAnchorUs(arrivalUs) - first, first);
      this.lateSinceUs = null;
    } else if (this.reopened && !this.hasGoneOn(end, arrivalUs)) {
      this.offsetUs = this.notBefore(arrivalUs - end, first, this.offUs(silentUs));
      news = 'reanchored';
    } else if (this.followsArrivals) news = this.mend(first, end, arrivalUs, silentUs);
    this.reopened = false;
    if (news !== null) this.counters[news]++;
    // Whatever happened above, record time never stands still or runs back.
    if (first + this.offsetUs <= this.lastStartUs) this.offsetUs = this.notBefore(this.offsetUs, first);
    const offsetUs = this.offsetUs;
    for (let i = 0; i < n; i++) tUs[i] = tUs[i]! + offsetUs;
    this.lastStartUs = tUs[n - 1]!;
    this.lastEndUs = Math.max(this.lastEndUs, end + offsetUs, this.lastStartUs + 1);
    this.differenceUs = end + offsetUs - arrivalUs;
    this.lastArrivalUs = arrivalUs;
    return news;
  }

  /**
   * After a reconnection: the device has gone on, as far as its time and the arrivals tell; the offset is then that of
   * its time as it is counted now.
   */
  private hasGoneOn(end: number, arrivalUs: number): boolean {
    for (const beforeUs of [0, this.differenceUs]) {
      const elapsedUs = arrivalUs + beforeUs - (end + this.offsetUs!);
      const turnsUs = Math.round(elapsedUs / WRAP_US) * WRAP_US;
      if (!this.followsArrivals || Math.abs(elapsedUs - turnsUs) <= ABSURD_US) {
        this.offsetUs! += turnsUs;
        return true;
      }
    }
    return false;
  }

  private mend(first: number, end: number, arrivalUs: number, silentUs: number): TimelineNews {
    const difference = end + this.offsetUs! - arrivalUs;
    if (difference > ABSURD_US) {
      this.lateSinceUs = null;
      return this.bringBack(first, end, arrivalUs, silentUs);
    }
    this.tellAheadUs = ABSURD_US;
    if (difference >= -ABSURD_US) {
      this.lateSinceUs = null;
      return null;
    }
    this.lateSinceUs ??= arrivalUs;
    if (arrivalUs - this.lateSinceUs < LATE_FOR_US) return null;
    this.lateSinceUs = null;
    this.offsetUs = this.notBefore(arrivalUs - end, first);
    return 'reanchored';
  }

  /** As far as a gap allows: samples that follow each other cannot be moved without overlap. */
  private bringBack(first: number, end: number, arrivalUs: number, silentUs: number): TimelineNews {
    const aheadUs = end + this.offsetUs! - arrivalUs;
    const gapUs = Math.max(0, first + this.offsetUs! - this.lastEndUs);
    const hasLeapt = aheadUs - this.differenceUs > ABSURD_US;
    const offsetUs = this.notBefore(
      arrivalUs - end,
      first,
      hasLeapt ? Math.min(gapUs, this.offUs(silentUs)) : gapUs,
    );
    const movedUs = this.offsetUs! - offsetUs;
    if (movedUs > 0) this.offsetUs = offsetUs;
    if (movedUs > ABSURD_US / 2) return 'reanchored';
    if (aheadUs < this.tellAheadUs) return null;
    this.tellAheadUs = 2 * aheadUs;
    return 'ranAhead';
  }

  /** A device that was off, or cannot be followed, was so for a while, also where what came before and after was read at once. */
  private offUs(silentUs: number): number {
    return this.lastArrivalUs === null ? 0 : Math.max(silentUs, this.pauseUs / KEPT_SHARE);
  }

  private fileAnchorUs(arrivalUs: number): number {
    return this.lastStartUs < 0 ? arrivalUs : this.lastEndUs + this.pauseUs;
  }

  /** The offset nearest to `offsetUs` that puts `first` after everything already placed and most of the gap behind it. */
  private notBefore(offsetUs: number, first: number, gapUs: number = 0): number {
    return Math.max(Math.round(offsetUs), this.lastEndUs + Math.round(KEPT_SHARE * gapUs) - first);
  }
}
