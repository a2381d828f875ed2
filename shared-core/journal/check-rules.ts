/** When a check of a rig falls due: by time, by shift, after what was done to the rig. */
import type { CheckStanding } from '../messages/api-journal.ts';
import type { Entry, EntryOf } from './entry.ts';
import { whenWords } from './finding.ts';
import type { CheckName, RigEventName } from './rig-entries.ts';
import { standing, standingOf } from './standing.ts';

/** In the order they are done at the rig. */
export const CHECK_NAMES = [
  'travel',
  'wireFeed',
  'arcVoltage',
  'weldingCurrent',
  'gasFlow',
  'temperature',
  'clock',
] as const satisfies readonly CheckName[];

export interface CheckRule {
  /** Done again in every shift. */
  readonly everyShift: boolean;
  /** Good for this long where the entry does not say, h. */
  readonly defaultHours: number;
  /** Done again after any of these. */
  readonly after: readonly RigEventName[];
}

/**
 * What ends a check: common practice, no source. A tip or a spool changes neither how travel nor how wire feed is
 * measured, so these end none; a spool and a bottle need their lot instead (readiness.ts).
 */
export const CHECK_RULES: Readonly<Record<CheckName, CheckRule>> = {
  travel: { everyShift: true, defaultHours: 24, after: ['repair', 'wheelChange', 'bandChange'] },
  wireFeed: { everyShift: true, defaultHours: 24, after: ['repair'] },
  arcVoltage: { everyShift: false, defaultHours: 7 * 24, after: ['repair'] },
  weldingCurrent: { everyShift: false, defaultHours: 7 * 24, after: ['repair'] },
  gasFlow: { everyShift: false, defaultHours: 7 * 24, after: ['repair'] },
  temperature: { everyShift: false, defaultHours: 7 * 24, after: [] },
  clock: { everyShift: true, defaultHours: 24, after: [] },
};

const EVENT_WORDS: Readonly<Record<RigEventName, string>> = {
  tipChange: 'tip change',
  spoolChange: 'spool change',
  gasBottleChange: 'gas bottle change',
  setPointChange: 'set-point change',
  repair: 'repair',
  wheelChange: 'wheel change',
  bandChange: 'band change',
  stop: 'stop',
};

type Verification = EntryOf<'verification'>;

/** The check `name` as it stands at `now`, from the rig's entries in order. */
export function checkStanding(
  name: CheckName,
  entries: readonly Entry[],
  now: string,
  rules: Readonly<Record<CheckName, CheckRule>> = CHECK_RULES,
): CheckStanding {
  const last = standingOf(entries, 'verification')
    .filter(({ body }) => body.outcome.check === name)
    .at(-1);
  if (!last) return { check: name, state: 'missing', last: null, dueAt: null, why: null };
  const { outcome } = last.body;
  const shown = { at: last.at, author: last.author, outcome };
  if (outcome.result !== 'pass') {
    const state = outcome.result === 'fail' ? 'failed' : 'notShown';
    return { check: name, state, last: shown, dueAt: null, why: null };
  }
  const end = endOf(last, entries, now, rules[name]);
  const state = end.at <= now ? 'expired' : 'valid';
  return { check: name, state, last: shown, dueAt: end.at, why: end.why };
}

interface End {
  readonly at: string;
  readonly why: string | null;
}

/** The earliest of everything that ends it. */
function endOf(last: Verification, entries: readonly Entry[], now: string, rule: CheckRule): End {
  const hours = rule.defaultHours * 3_600_000;
  const byTime: End = {
    at: last.body.validUntil ?? new Date(Date.parse(last.at) + hours).toISOString(),
    why: null,
  };
  const ends = [
    byTime,
    ...byEvent(last, entries, rule),
    ...byShift(last, entries, rule),
    ...byFactor(last, entries),
  ];
  return ends.filter(({ at }) => at === byTime.at || at <= now).reduce((a, b) => (b.at < a.at ? b : a));
}

function byEvent(last: Verification, entries: readonly Entry[], { after }: CheckRule): End[] {
  return standingOf(entries, 'rigEvent')
    .filter(({ body }) => after.includes(body.event) && body.happenedAt > last.at)
    .map(({ body }) => ({
      at: body.happenedAt,
      why: `${EVENT_WORDS[body.event]} ${whenWords(body.happenedAt)}`,
    }));
}

/** A later shift has begun when somebody has entered anything about the rig for it: midnight alone ends nothing. */
function byShift(last: Verification, entries: readonly Entry[], { everyShift }: CheckRule): End[] {
  if (!everyShift) return [];
  return standing(entries)
    .filter(({ shiftDate, number }) => shiftDate > last.shiftDate && number > last.number)
    .map(({ at, shiftDate }) => ({ at, why: `new shift of ${shiftDate}` }));
}

const CHANNEL_OF: Partial<Record<CheckName, string>> = { travel: 'travelSpeed', wireFeed: 'wireFeedSpeed' };

/** A factor entered after the check makes a reading that nobody has checked. */
function byFactor(last: Verification, entries: readonly Entry[]): End[] {
  const channel = CHANNEL_OF[last.body.outcome.check];
  return standingOf(entries, 'correction')
    .filter(({ body, number }) => body.channel === channel && number > last.number)
    .map(({ body, at }) => ({
      at: [body.from, at].sort()[1]!,
      why: `correction factor changed from ${body.previous} to ${body.factor}`,
    }));
}
