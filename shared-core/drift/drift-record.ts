/** How a pass held against what this rig does when all is well, for its record. */
import { DRIFT_CHANNELS, type DriftChannel, type PassDrift } from '../messages/drift.ts';
import type { DriftWatch } from './drift-watch.ts';
import { type ClockAt, callRecord } from './open-call.ts';
import { mayBeTrimmed } from './trimmed-types.ts';
import { unseenTrims } from './unseen-trims.ts';
import { windowStatistics } from './window-rows.ts';

/** A pass that teaches is judged over at least this many windows, and unobserved for at most this share of its time. */
const LEAST_WINDOWS = 8;
const MOST_UNOBSERVED = 0.02;
const TRAVEL = DRIFT_CHANNELS.indexOf('travelSpeed');
/** As many calls as a record holds. */
const MOST_CALLS = 24;

const UNLIKE = 'all along it runs unlike the good passes before it';

export interface RecordContext {
  /** Record time of second 0. */
  readonly originUs: number;
  readonly clockAt: ClockAt;
  /** Why the pass cannot teach, as far as others know; null: nothing speaks against it. */
  readonly unfit: string | null;
  readonly unobservedS: number;
  readonly elapsedS: number;
}

export function driftRecord(watch: DriftWatch, context: RecordContext): PassDrift {
  const { pass, calls, channels, zones, rows } = watch;
  // Where the set changes along the pass, a step says nothing.
  const trimmed = zones.length === 1 && mayBeTrimmed(pass.passType);
  const unseen = trimmed ? unseenTrims(rows, TRAVEL, channels.meant) : [];
  const windows = windowStatistics(rows, zones, [...channels.meant, ...unseen]);
  const told = calls.all.map(call => callRecord(call, context.originUs, context.clockAt));
  const why = whyNot(
    watch,
    windows.reduce((sum, one) => sum + one.windows, 0),
    context,
  );
  const unlike = calls.all.some(({ rule, against }) => rule !== 'trim' && against === 'rig');
  return {
    settings: pass.settings,
    baselines: [...pass.baselines],
    windows,
    passEndMm: pass.passEndMm,
    calls: told.slice(0, MOST_CALLS),
    callsCut: Math.max(0, told.length - MOST_CALLS),
    notJudged: notJudged(watch),
    teaches: why === null && unlike ? { good: false, why: UNLIKE, unlike } : { good: why === null, why },
  };
}

function whyNot(watch: DriftWatch, windows: number, context: RecordContext): string | null {
  if (watch.pass.notJudged !== null) return watch.pass.notJudged;
  if (context.unfit !== null) return context.unfit;
  const changed = watch.calls.all.some(
    ({ rule, against }) => rule !== 'trim' && !(rule === 'drifting' && against === 'rig'),
  );
  if (changed) return 'a change along the weld was called';
  if (context.unobservedS > MOST_UNOBSERVED * context.elapsedS) return 'too much of it was not observed';
  if (windows < LEAST_WINDOWS) return `fewer than ${LEAST_WINDOWS} whole windows of weld`;
  return null;
}

function notJudged(watch: DriftWatch): PassDrift['notJudged'] {
  const { pass, rows } = watch;
  const found: PassDrift['notJudged'] = [];
  const say = (
    rule: PassDrift['notJudged'][number]['rule'],
    quantity: DriftChannel | null,
    text: string,
  ): void => {
    found.push({ rule, quantity, text });
  };
  if (pass.notJudged !== null) {
    say(null, null, pass.notJudged);
    return found;
  }
  if (rows.length === 0) say(null, null, 'no whole window of weld was travelled');
  DRIFT_CHANNELS.forEach((name, channel) => {
    const known = rows.some(row => !Number.isNaN(row.values[channel]!));
    if (!known && rows.length > 0) say('drifting', name, 'the source does not give it');
    else if (!pass.baselines.some(baseline => baseline.channels.includes(name))) {
      say(
        'drifting',
        name,
        'this rig has too few good passes of this kind, and the procedure gives no range for it',
      );
    }
  });
  if (pass.passEndMm === null) say('projected', null, 'it is not known where the pass ends');
  if (!pass.baselines.some(({ covariance }) => covariance !== null)) {
    say(
      'pattern',
      null,
      'this rig has too few good passes of this kind to know how its channels go together',
    );
  }
  if (watch.lostMm > 0) {
    say(
      null,
      null,
      `${watch.lostMm.toFixed(0)} mm of weld were not judged: a stop, a drop-out, a gap or held values`,
    );
  }
  return found;
}
