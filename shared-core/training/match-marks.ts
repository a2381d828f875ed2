/**
 * Which mark answers which window.
 *
 * A window is open from its true beginning to its end, and can be answered late for LATE_S more. Marks are taken in the
 * order of their times. A mark answers at most one window: of those of its rig and side that nobody answered yet, first
 * one that is open, a signal before a decoy, one with the named channel before others, the one that began first. What
 * finds only answered windows is a repeat; what finds none is on the wrong side where a signal that nobody answered is open
 * on another rig or side, else it is a false alarm. A mark "leave alone" says that nothing need be done: it answers no
 * signal unless that is among its right actions, answers a decoy rightly, and is never a false alarm.
 */
import type { Truth } from './control.ts';
import type { Mark } from './session.ts';

/** How long after a window's end it can still be answered, late, s. */
export const LATE_S = 30;

export interface PlacedWindow {
  readonly window: Truth['windows'][number];
  /** Running seconds; end Infinity: it had not ended. */
  readonly beganS: number;
  readonly endedS: number;
}

/** Windows that have begun, by the clock of running-time.ts. */
export function placedWindows(truth: Truth['windows'], timeOf: (utc: string) => number): PlacedWindow[] {
  return truth.flatMap(window =>
    window.beganUtc === null
      ? []
      : [
          {
            window,
            beganS: timeOf(window.beganUtc),
            endedS: window.endedUtc === null ? Number.POSITIVE_INFINITY : timeOf(window.endedUtc),
          },
        ],
  );
}

export interface PlacedMark {
  readonly mark: Mark;
  readonly atS: number;
}

export type MarkMeaning = 'answer' | 'repeat' | 'wrongSide' | 'falseAlarm' | 'leaveAlone';

export interface Matched {
  /** By window id: the mark that answered it. */
  readonly answers: ReadonlyMap<string, PlacedMark>;
  /** By window id: the first mark that saw it and wanted to leave it alone. */
  readonly leftAlone: ReadonlyMap<string, PlacedMark>;
  readonly meanings: ReadonlyMap<string, MarkMeaning>;
}

/** One order whatever order they were stored in; a mark that is there twice is one mark. */
export function inOrder(marks: readonly PlacedMark[]): PlacedMark[] {
  const once = new Map(marks.map(one => [one.mark.id, one]));
  return [...once.values()].sort((a, b) => a.atS - b.atS || (a.mark.id < b.mark.id ? -1 : 1));
}

export function matchMarks(windows: readonly PlacedWindow[], marks: readonly PlacedMark[]): Matched {
  const answers = new Map<string, PlacedMark>();
  const leftAlone = new Map<string, PlacedMark>();
  const meanings = new Map<string, MarkMeaning>();
  for (const placed of inOrder(marks)) {
    meanings.set(placed.mark.id, meaningOf(placed));
  }
  return { answers, leftAlone, meanings };

  function meaningOf(placed: PlacedMark): MarkMeaning {
    const { mark, atS } = placed;
    const near = windows.filter(one => isThere(one, mark) && isWithin(one, atS, LATE_S));
    const toLeave = mark.action === 'leaveAlone';
    const unanswered = near
      .filter(({ window }) => !answers.has(window.id))
      .filter(one => !toLeave || isRightToLeave(one))
      .sort((a, b) => rank(a, placed) - rank(b, placed) || a.beganS - b.beganS || byId(a, b));
    const [best] = unanswered;
    if (best) {
      answers.set(best.window.id, placed);
      return toLeave ? 'leaveAlone' : 'answer';
    }
    if (toLeave) {
      const seen = near.find(({ window }) => !answers.has(window.id) && !leftAlone.has(window.id));
      if (seen) leftAlone.set(seen.window.id, placed);
      return 'leaveAlone';
    }
    if (near.length > 0) return 'repeat';
    const elsewhere = windows.some(
      one =>
        one.window.kind === 'signal' &&
        !isThere(one, mark) &&
        isWithin(one, atS, 0) &&
        !answers.has(one.window.id),
    );
    return elsewhere ? 'wrongSide' : 'falseAlarm';
  }
}

const isThere = ({ window }: PlacedWindow, { rig, side }: Mark): boolean =>
  window.rig === rig && window.side === side;

/** A decoy cannot be answered late: after it the weld is clean. */
const isWithin = ({ window, beganS, endedS }: PlacedWindow, atS: number, lateS: number): boolean =>
  atS >= beganS && atS <= endedS + (window.kind === 'signal' ? lateS : 0);

const isRightToLeave = ({ window }: PlacedWindow): boolean =>
  window.kind === 'decoy' || window.actions.includes('leaveAlone');

/** Open before late, signal before decoy, named channel before others. */
function rank({ window, endedS }: PlacedWindow, { mark, atS }: PlacedMark): number {
  const late = atS > endedS ? 4 : 0;
  const decoy = window.kind === 'decoy' ? 2 : 0;
  const other = mark.channel !== null && !window.channels.includes(mark.channel) ? 1 : 0;
  return late + decoy + other;
}

const byId = (a: PlacedWindow, b: PlacedWindow): number => (a.window.id < b.window.id ? -1 : 1);
