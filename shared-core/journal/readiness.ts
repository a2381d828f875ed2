/** Whether a rig is ready, and everything it lacks, each with the one action that mends it. Nobody is locked out. */
import type { CheckStanding, Finding, RigReadiness } from '../messages/api-journal.ts';
import { type Channel, isChannel } from '../sample/channels.ts';
import { CHECK_NAMES, CHECK_RULES, type CheckRule, checkStanding } from './check-rules.ts';
import { correctionsAt } from './corrections.ts';
import { type Entry, standingOf } from './entry.ts';
import { finding, numberWords, pagePath, whenWords } from './finding.ts';
import type { CheckName } from './rig-entries.ts';

/** Clocks of two rigs agree to this, ms (job: 1 s is 4–22 mm of weld). */
export const CLOCK_LIMIT_MS = 200;

export interface RigFacts {
  readonly site: string;
  readonly rig: string;
  readonly now: string;
  /** Everything entered about the rig, in order. */
  readonly entries: readonly Entry[];
  /** What its stream is made of; null until it has said so. */
  readonly channels: readonly Channel[] | null;
  /** Edge minus dashboard as the edge last reported it; null where it did not. */
  readonly clockOffsetMs: number | null;
  /** Its passes that count for no joint, newest first. */
  readonly passesWithoutJoint: readonly string[];
  readonly rules?: Readonly<Record<CheckName, CheckRule>>;
}

export function rigReadiness(facts: RigFacts): RigReadiness {
  const { site, rig, now, entries, clockOffsetMs } = facts;
  const checks = CHECK_NAMES.filter(name => isAsked(name, facts)).map(name => standingNow(name, facts));
  const missing = [
    ...checks.flatMap(check => checkFindings(check, facts)),
    ...overdueReferences(checks, facts),
  ];
  return {
    site,
    rig,
    ready: missing.length === 0,
    checks,
    corrections: correctionsAt(entries, now).map(({ author, body: { channel, factor, previous, from } }) => {
      return { channel, factor, previous, from, author };
    }),
    carriageId: standingOf(entries, 'carriage').at(-1)?.body.carriageId ?? null,
    clockOffsetMs,
    findings: [...missing, ...lotFindings(facts), ...passFindings(facts)],
  };
}

/** What a rig does not measure needs no check; what somebody has checked all the same is shown. */
function isAsked(name: CheckName, { channels, entries }: RigFacts): boolean {
  if (name !== 'gasFlow' && name !== 'temperature') return true;
  if (channels?.some(channel => isChannel(channel) && channel === name)) return true;
  return standingOf(entries, 'verification').some(({ body }) => body.outcome.check === name);
}

/** The clock is watched by the edge itself where it can; what a person found stands beside it. */
function standingNow(name: CheckName, facts: RigFacts): CheckStanding {
  const entered = checkStanding(name, facts.entries, facts.now, facts.rules ?? CHECK_RULES);
  const { clockOffsetMs: offset } = facts;
  if (name !== 'clock' || offset === null) return entered;
  const why = `the edge reports ${numberWords(offset)} ms`;
  if (Math.abs(offset) > CLOCK_LIMIT_MS) return { ...entered, state: 'failed', dueAt: null, why };
  if (entered.state === 'failed' || entered.state === 'notShown') return entered;
  return { ...entered, state: 'valid', dueAt: null, why };
}

const CHECK_WORDS: Readonly<Record<CheckName, string>> = {
  travel: 'travel',
  wireFeed: 'wire feed',
  arcVoltage: 'arc voltage',
  weldingCurrent: 'welding current',
  gasFlow: 'gas flow',
  temperature: 'temperature instrument',
  clock: 'clock',
};

function checkFindings({ check, state, last, dueAt, why }: CheckStanding, facts: RigFacts): Finding[] {
  const what = CHECK_WORDS[check];
  const link = checkPath(facts, check);
  const start = `${what[0]?.toUpperCase()}${what.slice(1)}`;
  switch (state) {
    case 'valid':
      return [];
    case 'missing':
      return [finding('checkMissing', `${start}: no check is entered.`, `Do the ${what} check.`, link)];
    case 'failed': {
      const found = why ?? (last ? `the check of ${whenWords(last.at)} failed` : 'out of its limit');
      const action =
        check === 'clock' ? 'Set the clock of the rig right.' : `Adjust, then do the ${what} check again.`;
      return [finding('checkFailed', `${start}: ${found}.`, action, link)];
    }
    case 'notShown': {
      const text = `${start}: the check of ${whenWords(last?.at ?? facts.now)} could not tell.`;
      return [
        finding(
          'checkNotShown',
          text,
          `Do the ${what} check with a longer run or a better instrument.`,
          link,
        ),
      ];
    }
    case 'expired': {
      const since = dueAt === null ? '' : ` since ${whenWords(dueAt)}`;
      const text = `${start}: due${since}${why === null ? '' : ` (${why})`}.`;
      return [finding('checkExpired', text, `Do the ${what} check again.`, link)];
    }
  }
}

const checkPath = ({ site, rig }: RigFacts, check: CheckName): string =>
  pagePath(['rigs', site, rig, 'verify', check]);

/** A check proves nothing by an instrument whose own calibration has run out. */
function overdueReferences(checks: readonly CheckStanding[], facts: RigFacts): Finding[] {
  return checks.flatMap(({ check, state, last }) => {
    const outcome = last?.outcome;
    if (state !== 'valid' || !outcome || !('referenceDue' in outcome)) return [];
    if (outcome.referenceDue >= facts.now) return [];
    const text = `The reference ${outcome.referenceSerial} of the ${CHECK_WORDS[check]} check was due for calibration ${whenWords(outcome.referenceDue)}.`;
    const action = `Do the ${CHECK_WORDS[check]} check with a calibrated instrument.`;
    return [finding('referenceOverdue', text, action, checkPath(facts, check))];
  });
}

/** The only sign of a wrong lot is the lot itself. */
function lotFindings({ site, rig, entries }: RigFacts): Finding[] {
  const events = standingOf(entries, 'rigEvent');
  return (['spoolChange', 'gasBottleChange'] as const).flatMap(event => {
    const last = events.filter(({ body }) => body.event === event).at(-1);
    if (!last || last.body.lot !== undefined) return [];
    const what = event === 'spoolChange' ? 'wire' : 'gas';
    const changed = event === 'spoolChange' ? 'spool' : 'gas bottle';
    const text = `The ${changed} was changed ${whenWords(last.body.happenedAt)} and its ${what} lot is not entered.`;
    return [
      finding(`${event}LotMissing`, text, `Enter the ${what} lot.`, pagePath(['rigs', site, rig, 'event'])),
    ];
  });
}

function passFindings({ passesWithoutJoint: ids }: RigFacts): Finding[] {
  if (ids.length === 0) return [];
  const text =
    ids.length === 1 ? 'One pass counts for no joint.' : `${ids.length} passes count for no joint.`;
  return [finding('passWithoutJoint', text, 'Say which joint, side and pass it is.', '/joints')];
}
