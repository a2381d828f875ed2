/** Preheat and interpass readings and the time between passes, held against the limits of the WPS. */
import type { Finding, PassStanding } from '../messages/api-journal.ts';
import { beyond, type ResolvedLimit, resolveLimits } from '../procedure/limits.ts';
import type { ProcedurePass } from '../procedure/procedure.ts';
import type { EntryOf } from './entry.ts';
import { finding, jointPath, numberWords, whenWords } from './finding.ts';
import type { JointFacts } from './joint-facts.ts';
import { type JointFold, SIDES, standingOfPass } from './joint-fold.ts';

const WORDS = { preheatTemperature: 'preheat', interpassTemperature: 'interpass' } as const;
type Reading = keyof typeof WORDS;

/** Of one pass, begun on a side or about to be. */
export function readingFindings(facts: JointFacts, fold: JointFold, pass: ProcedurePass): Finding[] {
  return [
    ...readingOf(facts, fold, pass, 'preheatTemperature'),
    ...readingOf(facts, fold, pass, 'interpassTemperature'),
    ...timeBetween(facts, fold, pass),
  ];
}

/** Limits that hold all around; a limit that names a unit that does not fit limits nothing, and was refused. */
function limitsOn(pass: ProcedurePass, quantity: string): ResolvedLimit[] {
  try {
    return resolveLimits(pass).filter(limit => limit.quantity === quantity);
  } catch {
    return [];
  }
}

function readingOf(facts: JointFacts, fold: JointFold, pass: ProcedurePass, quantity: Reading): Finding[] {
  const limits = limitsOn(pass, quantity);
  if (limits.length === 0) return [];
  const link = jointPath(facts.joint, 'temperature', { pass: pass.name });
  const readings = fold.readings.filter(({ body }) => body.quantity === quantity && body.pass === pass.name);
  const begun = SIDES.flatMap(side => standingOfPass(fold, pass.name, side)?.startUtc ?? []).sort()[0];
  if (readings.length === 0) {
    const text = `No ${WORDS[quantity]} reading for ${pass.name}; the WPS asks for ${rangeWords(limits)}.`;
    return [
      finding(`${WORDS[quantity]}Missing`, text, `Take and enter the ${WORDS[quantity]} reading.`, link),
    ];
  }
  return [
    ...readings.flatMap(reading => outOfLimit(facts, reading, limits, link)),
    ...late(readings, begun, link),
  ];
}

function outOfLimit(
  facts: JointFacts,
  { body, author }: EntryOf<'temperatureReading'>,
  limits: readonly ResolvedLimit[],
  link: string,
): Finding[] {
  const broken = limits.filter(limit => (beyond(body.valueCel, limit) ?? -1) > 0);
  if (broken.length === 0) return [];
  const where = body.clock === null ? 'all around' : `at ${numberWords(body.clock)} o’clock`;
  const text =
    `${WORDS[body.quantity]} for ${body.pass}: ${numberWords(body.valueCel)} °C ${where}, read by ` +
    `${facts.nameOf(author)}; the WPS allows ${rangeWords(broken)}.`;
  const action = 'Bring the joint into its range and take a new reading, or tell the welding coordinator.';
  return [finding('readingOutOfLimit', text, action, link)];
}

/** A reading proves the state of the joint before the arc only where it was taken before. */
function late(
  readings: readonly EntryOf<'temperatureReading'>[],
  begun: string | undefined,
  link: string,
): Finding[] {
  if (begun === undefined || readings.some(({ body }) => body.takenAt <= begun)) return [];
  const { body } = readings[0]!;
  const text =
    `The ${WORDS[body.quantity]} reading for ${body.pass} was taken ${whenWords(body.takenAt)}, after the pass ` +
    `began at ${whenWords(begun)}.`;
  return [
    finding('readingLate', text, 'Enter the reading that was taken before the arc, if there is one.', link),
  ];
}

const rangeWords = (limits: readonly ResolvedLimit[]): string =>
  limits
    .map(({ min, max, nominal }) => {
      if (min !== null && max !== null) return `${numberWords(min)} to ${numberWords(max)} °C`;
      if (min !== null) return `at least ${numberWords(min)} °C`;
      if (max !== null) return `at most ${numberWords(max)} °C`;
      return `${numberWords(nominal ?? 0)} °C nominally`;
    })
    .join(' and ');

/** From the end of the pass before on one side to the start of this one, or to now. */
function timeBetween(facts: JointFacts, fold: JointFold, pass: ProcedurePass): Finding[] {
  const limits = limitsOn(pass, 'timeBetweenPasses');
  const index = facts.procedure?.passes.findIndex(({ name }) => name === pass.name) ?? -1;
  const before = facts.procedure?.passes[index - 1];
  if (limits.length === 0 || !before) return [];
  return SIDES.flatMap(side => {
    const ended = standingOfPass(fold, before.name, side);
    if (!ended?.endUtc || ended.state === 'open' || ended.state === 'none') return [];
    const own = standingOfPass(fold, pass.name, side);
    return limits.flatMap(limit => betweenOn(facts, pass, before.name, ended, own, limit));
  });
}

function betweenOn(
  facts: JointFacts,
  pass: ProcedurePass,
  before: string,
  ended: PassStanding,
  own: PassStanding | null,
  { min, max }: ResolvedLimit,
): Finding[] {
  const began = own?.startUtc ?? null;
  const betweenS = (Date.parse(began ?? facts.now) - Date.parse(ended.endUtc!)) / 1000;
  const minutes = (seconds: number): string => `${numberWords(seconds / 60)} min`;
  const link = jointPath(facts.joint);
  if (max !== null && betweenS > max) {
    const text = began
      ? `${pass.name}, side ${ended.side}, began ${minutes(betweenS)} after ${before}; the WPS allows at most ${minutes(max)}.`
      : `${before}, side ${ended.side}, ended ${minutes(betweenS)} ago; the WPS allows at most ${minutes(max)} before ${pass.name}.`;
    return [
      finding('timeBetweenPassesExceeded', text, 'Tell the welding coordinator before going on.', link),
    ];
  }
  // Too soon is a matter of waiting; once begun it stands.
  if (min !== null && betweenS < min) {
    const text = began
      ? `${pass.name}, side ${ended.side}, began ${minutes(betweenS)} after ${before}; the WPS asks for at least ${minutes(min)}.`
      : `${before}, side ${ended.side}, ended ${minutes(betweenS)} ago; the WPS asks for at least ${minutes(min)} before ${pass.name}.`;
    return [finding('timeBetweenPassesShort', text, 'Wait, or tell the welding coordinator.', link)];
  }
  return [];
}
