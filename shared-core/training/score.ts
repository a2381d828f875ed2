/**
 * The score of a session: counts first, then sensitivity where there is enough to count. Results by window: `hit` marked
 * while it was open (and within `lateAfterS` of its beginning, where that is stated), `late` marked later than that but
 * within LATE_S of its end, `miss` not marked. match-marks.ts says which mark is of which window.
 */
import type { Side } from '../messages/common.ts';
import type { Truth } from './control.ts';
import {
  type Matched,
  matchMarks,
  type PlacedMark,
  type PlacedWindow,
  placedWindows,
} from './match-marks.ts';
import { cleanWindows, type Stretch } from './noise-windows.ts';
import { type Pause, runningTime } from './running-time.ts';
import { sensitivity } from './sensitivity.ts';
import type { Mark, Score, WindowScore } from './session.ts';

export interface Scored {
  /** Why it is not scored; null where it is. */
  readonly notScored: string | null;
  readonly truth: Truth['windows'];
  readonly marks: readonly Mark[];
  readonly pauses: readonly Pause[];
  /** When each arc burned, UTC. */
  readonly arcs: readonly {
    readonly rig: string;
    readonly side: Side;
    readonly from: string;
    readonly to: string;
  }[];
  /** A mark later than this after the beginning is late though the window is open, s; null: no such time. */
  readonly lateAfterS: number | null;
}

type Counts = NonNullable<Score['counts']>;

export function scoreSession(scored: Scored): Score {
  const { notScored, truth } = scored;
  if (notScored !== null) return unscored(notScored);
  const timeOf = runningTime(scored.pauses);
  const windows = placedWindows(truth, timeOf);
  const marks = scored.marks.map(mark => ({ mark, atS: timeOf(mark.at) }));
  const matched = matchMarks(windows, marks);
  const placed = new Map(windows.map(one => [one.window.id, one]));
  const results = truth.map(({ id }): WindowScore => {
    const one = placed.get(id);
    return one ? resultOf(one, matched, scored.lateAfterS) : { ...EMPTY, windowId: id, result: 'notReached' };
  });
  const idsOf = (meaning: string): string[] =>
    [...matched.meanings].filter(([, is]) => is === meaning).map(([id]) => id);
  const falseAlarms = idsOf('falseAlarm');
  const wrongSide = idsOf('wrongSide');
  const counts = countsOf(windows, results, falseAlarms.length, wrongSide.length);
  const arcs = scored.arcs.map(({ rig, side, from, to }) => ({
    rig,
    side,
    fromS: timeOf(from),
    toS: timeOf(to),
  }));
  const clean = cleanWindows(arcs, windows);
  const strays = marks.filter(({ mark }) => falseAlarms.includes(mark.id) || wrongSide.includes(mark.id));
  const marked = clean.filter(stretch => strays.some(mark => isIn(stretch, mark)));
  const decoysMarked = results.filter(({ result }) => result === 'falseAlarm').length;
  const { value, reason } = sensitivity({
    signals: counts.signals,
    hits: counts.hit,
    noises: counts.decoys + clean.length,
    falseAlarms: decoysMarked + marked.length,
  });
  return {
    notScored: null,
    windows: results,
    falseAlarms,
    wrongSide,
    repeats: idsOf('repeat'),
    counts,
    sensitivity: value,
    sensitivityReason: reason,
  };
}

function unscored(reason: string): Score {
  return {
    notScored: reason,
    windows: [],
    falseAlarms: [],
    wrongSide: [],
    repeats: [],
    counts: null,
    sensitivity: null,
    sensitivityReason: reason,
  };
}

const EMPTY = { markId: null, seconds: null, weldMm: null, rightChannel: null, rightAction: null };

function resultOf(one: PlacedWindow, matched: Matched, lateAfterS: number | null): WindowScore {
  const { window, beganS, endedS } = one;
  const answer = matched.answers.get(window.id);
  if (window.kind === 'decoy') {
    if (!answer) return { ...EMPTY, windowId: window.id, result: 'leftAlone' };
    const left = answer.mark.action === 'leaveAlone';
    const result = left ? 'leftAlone' : 'falseAlarm';
    return { ...about(one, answer), result, rightChannel: null, rightAction: left ? true : null };
  }
  if (answer) {
    const { atS } = answer;
    const late = atS > endedS || (lateAfterS !== null && atS - beganS > lateAfterS);
    return { ...about(one, answer), result: late ? 'late' : 'hit' };
  }
  const seen = matched.leftAlone.get(window.id);
  if (!seen) return { ...EMPTY, windowId: window.id, result: 'miss' };
  return { ...about(one, seen), result: 'miss' };
}

function about({ window, beganS }: PlacedWindow, { mark, atS }: PlacedMark): Omit<WindowScore, 'result'> {
  const { channel, action, alongMm } = mark;
  const isAmong = <T>(right: readonly T[], named: T | null): boolean | null =>
    named === null ? null : right.length === 0 || right.includes(named);
  return {
    windowId: window.id,
    markId: mark.id,
    seconds: atS - beganS,
    weldMm: weldTo(alongMm, window.fromMm),
    rightChannel: isAmong(window.channels, channel),
    // Leaving a signal alone is right only where the lesson says so.
    rightAction: action === 'leaveAlone' ? window.actions.includes(action) : isAmong(window.actions, action),
  };
}

/** What a screen shows lags behind the arc by this much at most, mm. */
const LAG_MM = 5;

/** Null also where the mark stands on another weld: in the next pass. */
function weldTo(alongMm: number | null, fromMm: number): number | null {
  if (alongMm === null || alongMm < fromMm - LAG_MM) return null;
  return Math.max(0, alongMm - fromMm);
}

function countsOf(
  windows: readonly PlacedWindow[],
  results: readonly WindowScore[],
  strays: number,
  wrongSide: number,
): Counts {
  const these = (result: WindowScore['result']): WindowScore[] =>
    results.filter(one => one.result === result);
  const answered = [...these('hit'), ...these('late')];
  return {
    signals: windows.filter(({ window }) => window.kind === 'signal').length,
    decoys: windows.filter(({ window }) => window.kind === 'decoy').length,
    hit: these('hit').length,
    late: these('late').length,
    miss: these('miss').length,
    falseAlarm: these('falseAlarm').length + strays,
    wrongSide,
    leftAlone: these('leftAlone').length,
    rightChannel: answered.filter(({ rightChannel }) => rightChannel === true).length,
    rightAction: answered.filter(({ rightAction }) => rightAction === true).length,
  };
}

const isIn = ({ rig, side, fromS, toS }: Stretch, { mark, atS }: PlacedMark): boolean =>
  mark.rig === rig && mark.side === side && atS >= fromS && atS < toS;
