import type { Truth } from '#core/training/control';
import type { LessonWindow } from '#core/training/lesson';
import type { SequencePhase } from '../rig/pass-sequence.ts';

/** Where one rig is at one moment of simulated time. */
export interface RigMoment {
  readonly rig: string;
  readonly simulatedS: number;
  readonly wallMs: number;
  /** The pass that runs; null between passes. */
  readonly joint: string | null;
  readonly pass: string | null;
  readonly alongMm: number;
  /** Null where only readings are known (a recorded joint). */
  readonly phase: SequencePhase | null;
  /** The pass that is next, and since when the crew is late with it, s of simulated time. */
  readonly lateFor: { readonly joint: string; readonly pass: string; readonly sinceS: number } | null;
}

interface Entry {
  readonly window: LessonWindow;
  beganMs: number | null;
  endedMs: number | null;
  /** stopRestart: the arc has been out. */
  stopped: boolean;
}

/** Keeps of every window when it truly began and ended, by the wall clock. */
export class TruthBook {
  private readonly entries: Entry[];

  constructor(windows: readonly LessonWindow[]) {
    this.entries = windows.map(newEntry);
  }

  /** The trainer put one in; it begins with the next moment of its rig. */
  add(window: LessonWindow): void {
    this.entries.push(newEntry(window));
  }

  get size(): number {
    return this.entries.length;
  }

  follow(moment: RigMoment): void {
    for (const entry of this.entries) {
      if (entry.endedMs !== null || entry.window.rig !== moment.rig) continue;
      if (entry.beganMs === null && hasBegun(entry.window, moment)) entry.beganMs = moment.wallMs;
      if (entry.beganMs !== null && hasEnded(entry, moment)) entry.endedMs = moment.wallMs;
    }
  }

  /** The lesson is over: what is still wrong ends with it. */
  close(wallMs: number): void {
    for (const entry of this.entries) if (entry.beganMs !== null) entry.endedMs ??= wallMs;
  }

  truth(): Truth {
    return {
      windows: this.entries.map(({ window, beganMs, endedMs }) => ({
        ...window,
        beganUtc: utcOf(beganMs),
        endedUtc: utcOf(endedMs),
      })),
    };
  }
}

const newEntry = (window: LessonWindow): Entry => ({ window, beganMs: null, endedMs: null, stopped: false });
const utcOf = (ms: number | null): string | null => (ms === null ? null : new Date(ms).toISOString());
const isIts = (window: LessonWindow, at: { joint: string | null; pass: string | null }): boolean =>
  at.joint === window.joint && at.pass === window.pass;

function hasBegun(window: LessonWindow, moment: RigMoment): boolean {
  if (window.fault === 'lateStart') {
    const { lateFor, simulatedS } = moment;
    return lateFor !== null && isIts(window, lateFor) && simulatedS >= lateFor.sinceS;
  }
  return isIts(window, moment) && moment.alongMm >= window.fromMm;
}

function hasEnded(entry: Entry, moment: RigMoment): boolean {
  const { window } = entry;
  if (window.fault === 'lateStart') return isIts(window, moment);
  if (!isIts(window, moment)) return true;
  if (window.fault === 'stopRestart' && moment.phase !== null) {
    entry.stopped ||= moment.phase === 'waiting';
    return entry.stopped && moment.phase === 'travel';
  }
  return window.toMm !== null && moment.alongMm >= window.toMm;
}
