/** Calls as passes carry them, each with the newest mark that a person gave it. */
import { callKey, callMarks } from '#core/journal/call-marks';
import type { EntryOf } from '#core/journal/entry';
import type { Call, CallCounts, CallPage } from '#core/messages/api-watch';
import type { PassMessage } from '#core/messages/pass';
import type { DashboardStore, PassFilter } from '../store/store.ts';

type Marks = ReadonlyMap<string, EntryOf<'callMark'>>;

export const marksOf = (store: Pick<DashboardStore, 'journal'>): Marks =>
  callMarks(store.journal.ofKind('callMark'));

/** Deviations first, then changes along the weld, each in the order of the record. */
export function callsOf(message: PassMessage, marks: Marks): Call[] {
  const { passId, origin, site, rig, joint, side, pass } = message;
  const about = { passId, origin, site, rig, joint, side, pass: pass.procedurePass };
  const at = (s: number): string =>
    new Date(Date.parse(message.startUtc) + (s - pass.startS) * 1000).toISOString();
  const markOf = (of: Call['of'], number: number): Call['mark'] => {
    const entry = marks.get(callKey(passId, { of, number }));
    return entry ? { mark: entry.body.mark, author: entry.author, at: entry.at, reason: entry.reason } : null;
  };
  const deviations = message.deviations.map((deviation, i): Call => {
    const { quantity, extreme, unit, min, max, basis, fromS, fromMm, toMm } = deviation;
    const band = [min === null ? '' : `not below ${min}`, max === null ? '' : `not above ${max}`];
    const limit = band.filter(one => one !== '').join(', ');
    return {
      ...about,
      of: 'deviation',
      number: i + 1,
      at: at(fromS),
      rule: 'outOfRange',
      quantity,
      text: `${extreme === null ? '?' : Number(extreme.toPrecision(4))} ${unit}: ${limit} (${basis})`,
      fromMm,
      toMm,
      mark: markOf('deviation', i + 1),
    };
  });
  const changes = (pass.drift?.calls ?? []).map((call): Call => {
    const { number, rule, quantity, text, fromMm, toMm, calledS } = call;
    return {
      ...about,
      of: 'drift',
      number,
      at: at(calledS),
      rule,
      quantity,
      text,
      fromMm,
      toMm,
      mark: markOf('drift', number),
    };
  });
  return [...deviations, ...changes];
}

/** Calls of the passes of one page of the pass list. */
export function callPage(store: DashboardStore, filter: PassFilter): CallPage {
  const { items, next } = store.passes(filter);
  const marks = marksOf(store);
  const calls = items.filter(({ state }) => state === 'closed').flatMap(pass => callsOf(pass, marks));
  return { calls, next };
}

/** What is announced of a pass, counted; a trim is told and never announced. */
export function callCounts(message: {
  readonly deviations: readonly unknown[];
  readonly pass: PassMessage['pass'];
}): CallCounts {
  const counts = { outOfRange: message.deviations.length, drifting: 0, projected: 0, pattern: 0 };
  for (const { rule } of message.pass.drift?.calls ?? []) if (rule !== 'trim') counts[rule]++;
  return counts;
}
