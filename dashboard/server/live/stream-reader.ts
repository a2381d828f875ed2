/**
 * One screen on the live stream: what it was told, what it has missed, and how often it is given live values.
 * Node's own buffer for it is the measure: while something waits there, the network or the screen is behind.
 */
import type { ServerResponse } from 'node:http';
import { STREAM_PACES_MS } from '#core/messages/stream-paces';

export const TICK_MS = 100;
/** So many ticks late more than in time, and it is given live values less often. */
const LATE_TICKS = 10;
/** In time for so long, and it is given them more often again; twice as long after each relapse. */
const STEADY_TICKS = 300;
const STEADY_MAX_TICKS = 3000;
/** Nothing of what was sent has gone for so long: it does not read. */
export const STUCK_TICKS = 200;

const PACES = STREAM_PACES_MS.map(ms => ms / TICK_MS);

/** `due`: it gets what it has missed now. `late`: it would, but has not taken the last yet. */
export type Turn = 'due' | 'notYet' | 'late' | 'stuck';

export class StreamReader {
  readonly response: ServerResponse;
  /** Rigs whose newest this reader has not been sent. */
  readonly missedLive = new Set<string>();
  readonly missedRigs = new Set<string>();
  missedAlarms = false;
  missedTruck = false;
  /** Number of the newest announcement it was sent. */
  told: number;
  /** Its pace has changed, which it has not been told yet. */
  paceIsNews = false;
  private pace: number;
  private steadyTicks: number;
  private sentAt: number;
  private drainedAt: number;
  private changedAt: number;
  private lateTicks = 0;

  /** `everyMs`: how often it asks for live values itself, knowing more of its line than this end does. */
  constructor(response: ServerResponse, { told, now, everyMs }: ReaderStart) {
    this.response = response;
    this.told = told;
    const asked = PACES.findIndex(ticks => ticks * TICK_MS >= everyMs);
    this.pace = asked < 0 ? PACES.length - 1 : asked;
    this.steadyTicks = this.pace === 0 ? STEADY_TICKS : STEADY_MAX_TICKS;
    this.sentAt = now - PACES[this.pace]!;
    this.drainedAt = now;
    this.changedAt = now;
  }

  get everyMs(): number {
    return STREAM_PACES_MS[this.pace]!;
  }

  get thinned(): boolean {
    return this.pace > 0;
  }

  /** Bytes of ours that wait for it. */
  get waiting(): number {
    return this.response.writableLength;
  }

  get behind(): boolean {
    return this.missedLive.size > 0 || this.missedRigs.size > 0 || this.missedAlarms || this.missedTruck;
  }

  turn(now: number): Turn {
    const { waiting } = this;
    if (waiting === 0) this.drainedAt = now;
    else if (now - this.drainedAt >= STUCK_TICKS) return 'stuck';
    if (now - this.sentAt < PACES[this.pace]!) return 'notYet';
    if (waiting > 0) {
      this.lateTicks++;
      if (this.lateTicks >= LATE_TICKS && this.pace < PACES.length - 1) {
        this.steadyTicks = Math.min(STEADY_MAX_TICKS, this.steadyTicks * 2);
        this.change(this.pace + 1, now);
      }
      return 'late';
    }
    // Late now and then is no reason; late more often than in time is one.
    this.lateTicks = Math.max(0, this.lateTicks - 1);
    if (this.pace > 0 && now - this.changedAt >= this.steadyTicks) this.change(this.pace - 1, now);
    this.sentAt = now;
    return 'due';
  }

  private change(pace: number, now: number): void {
    this.pace = pace;
    this.changedAt = now;
    this.lateTicks = 0;
    this.paceIsNews = true;
  }
}

interface ReaderStart {
  readonly told: number;
  /** The present tick. */
  readonly now: number;
  readonly everyMs: number;
}
