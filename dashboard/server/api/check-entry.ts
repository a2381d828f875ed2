/** Refuses an entry that names what is not there or contradicts itself; one sentence each, nothing is stored. */
import { verificationResult } from '#core/checks/verification';
import {
  type Entry,
  type EntryBody,
  type NewEntry,
  PASSPHRASE_NEEDED,
  REASON_NEEDED,
  subjectOf,
} from '#core/journal/entry';
import { cutOutOf } from '#core/journal/repairs';
import type { Check } from '#core/journal/rig-entries';
import type { Origin } from '#core/messages/common';
import type { RigBoard } from '../live/rig-board.ts';
import type { DashboardStore } from '../store/store.ts';
import type { JournalFacts } from './journal-facts.ts';
import { ApiProblem, type ProblemStatus } from './problem.ts';

export interface EntryChecks {
  readonly store: DashboardStore;
  readonly board: RigBoard;
  readonly facts: JournalFacts;
  readonly now: () => Date;
}

/** Problem codes of POST /api/v1/entries. */
export const ENTRY_PROBLEMS = {
  authorUnknown: 422,
  personUnknown: 422,
  reasonMissing: 422,
  passphraseNeeded: 403,
  entryUnknown: 422,
  correctionOther: 422,
  entryCorrected: 409,
  timeAhead: 422,
  shiftDateAhead: 422,
  jointNumberUsed: 409,
  jointCutOut: 409,
  rigLimit: 422,
  checkInconsistent: 422,
  passUnknown: 422,
  callUnknown: 422,
  passOpen: 409,
  originMixed: 409,
  procedureUnknown: 422,
  procedurePassUnknown: 422,
  procedureWithdrawn: 409,
} as const satisfies Record<string, ProblemStatus>;

const refusal = (code: keyof typeof ENTRY_PROBLEMS, detail: string): ApiProblem =>
  new ApiProblem(ENTRY_PROBLEMS[code], code, detail);

/** Clocks of a phone and of this machine may differ by this, ms. */
const CLOCK_ROOM_MS = 5 * 60_000;
const DAY_MS = 86_400_000;

/** `proven`: the author has given a passphrase. */
export function checkEntry(entry: NewEntry, checks: EntryChecks, author?: 'proven'): void {
  const { store, now } = checks;
  const people = new Set(store.people().map(({ id }) => id));
  if (!people.has(entry.author)) {
    throw refusal('authorUnknown', 'The author is not among the people here: add the name first.');
  }
  if (author !== 'proven' && PASSPHRASE_NEEDED.includes(entry.body.kind)) {
    throw refusal(
      'passphraseNeeded',
      `An entry of kind ${entry.body.kind} is signed with the author's passphrase and has a route of its own.`,
    );
  }
  checkCorrection(entry, store);
  if (entry.reason === null && REASON_NEEDED.includes(entry.body.kind)) {
    throw refusal('reasonMissing', `An entry of kind ${entry.body.kind} needs a reason.`);
  }
  if (Date.parse(entry.shiftDate) > now().getTime() + DAY_MS) {
    throw refusal(
      'shiftDateAhead',
      `The shift date ${entry.shiftDate} lies ahead: give the day the shift began.`,
    );
  }
  checkTimes(entry.body, now().getTime());
  checkPeople(entry.body, people);
  checkBody(entry, checks);
}

function checkCorrection({ corrects, reason, body }: NewEntry, store: DashboardStore): void {
  if (corrects === null) return;
  const earlier = store.journal.entry(corrects);
  if (!earlier) throw refusal('entryUnknown', `There is no entry ${corrects} to correct.`);
  if (reason === null) throw refusal('reasonMissing', 'A correction needs a reason.');
  const about = subjectOf(earlier.body);
  const isOwn = isSameMatter(earlier.body, body);
  if (!isOwn) {
    throw refusal(
      'correctionOther',
      `Entry ${corrects} is a ${earlier.body.kind} of ${about}: a correction is of the same kind about the same.`,
    );
  }
  const done = store.journal.correctionOf(corrects);
  if (done)
    throw refusal(
      'entryCorrected',
      `Entry ${corrects} was corrected by ${done.id} already: correct that one.`,
    );
}

/** A move may be corrected to another joint: what it is about is the pass. */
function isSameMatter(earlier: EntryBody, later: EntryBody): boolean {
  if (earlier.kind !== later.kind) return false;
  if (earlier.kind === 'passMoved' && later.kind === 'passMoved') return earlier.passId === later.passId;
  return subjectOf(earlier) === subjectOf(later);
}

/** What has happened has happened already. */
function checkTimes(body: EntryBody, nowMs: number): void {
  const said =
    'takenAt' in body
      ? body.takenAt
      : 'happenedAt' in body
        ? body.happenedAt
        : 'weldedAt' in body
          ? body.weldedAt
          : null;
  if (said !== null && Date.parse(said) > nowMs + CLOCK_ROOM_MS) {
    throw refusal('timeAhead', `The time ${said} lies ahead: give the time when it happened.`);
  }
}

function checkPeople(body: EntryBody, people: ReadonlySet<string>): void {
  const named =
    body.kind === 'crew'
      ? [body.weldSetter, body.operatorA, body.operatorB]
      : body.kind === 'qualification'
        ? [body.person]
        : [];
  const unknown = named.find(id => id !== null && !people.has(id));
  if (unknown !== undefined)
    throw refusal('personUnknown', `Person ${unknown} is not among the people here: add the name first.`);
}

function checkBody(entry: NewEntry, checks: EntryChecks): void {
  const { body, corrects } = entry;
  switch (body.kind) {
    case 'jointOpened':
      if (corrects === null) checkNumber(body.joint, checks);
      return;
    case 'verification':
      checkRig(body, checks);
      checkOutcome(body.outcome);
      return;
    case 'correction':
    case 'rigEvent':
    case 'carriage':
      checkRig(body, checks);
      return;
    case 'passMoved':
      checkMove(body, checks);
      return;
    case 'procedureStatus':
      checkStatus(entry, body, checks);
      return;
    case 'callMark':
      checkCall(body, checks.store);
      return;
    default:
  }
}

const retired = (joint: string, { at }: Entry): ApiProblem =>
  refusal(
    'jointCutOut',
    `Joint ${joint} was cut out on ${at.slice(0, 10)}: its number is retired. Give the number of the joint that it is.`,
  );

/** A number stands for ever, also when its joint is cut out. */
function checkNumber(joint: string, { store, facts }: EntryChecks): void {
  const about = store.journal.about(`joint ${joint}`);
  const cutOut = cutOutOf(about);
  if (cutOut) throw retired(joint, cutOut);
  const opened = about.find(({ body }) => body.kind === 'jointOpened');
  if (!opened) return;
  const who = store.people().find(({ id }) => id === opened.author)?.name ?? opened.author;
  const state = facts.joint(joint)?.recorded.length ?? 0;
  throw refusal(
    'jointNumberUsed',
    `Joint number ${joint} was opened on ${opened.at.slice(0, 10)} by ${who} and has ${state} recorded passes: ` +
      'give another number, or change that joint.',
  );
}

function checkRig({ site, rig }: { site: string; rig: string }, { board }: EntryChecks): void {
  if (!board.admit({ site, rig }, null, false)) {
    throw refusal('rigLimit', 'There are as many rigs here as the settings allow (max_rigs).');
  }
}

/** Rounding of what is sent may move a value across its limit by this, percentage points or ms. */
const ROUNDING = 0.02;

function checkOutcome(outcome: Check): void {
  const isClock = outcome.check === 'clock';
  const error = isClock ? outcome.offsetMs : outcome.errorPercent;
  const uncertainty = isClock ? (outcome.uncertaintyMs ?? 0) : outcome.expandedUncertaintyPercent;
  const limit = isClock ? outcome.limitMs : outcome.limitPercent;
  const near = [limit - ROUNDING, limit, limit + ROUNDING].map(at =>
    verificationResult(error, uncertainty, at),
  );
  if (near.includes(outcome.result)) return;
  // Without a known uncertainty of the reference a check shows nothing, whatever its error.
  if (outcome.result === 'notShown') return;
  throw refusal(
    'checkInconsistent',
    `The ${outcome.check} check says ${outcome.result}, but its error ${error} and uncertainty ${uncertainty} against the limit ${limit} say ${near[1]}.`,
  );
}

function checkMove(body: Extract<EntryBody, { kind: 'passMoved' }>, { store, facts }: EntryChecks): void {
  const pass = store.pass(body.passId);
  if (!pass) throw refusal('passUnknown', `No pass ${body.passId} is stored.`);
  if (pass.state === 'open') {
    throw refusal('passOpen', 'The pass is still being welded: move it when it is closed.');
  }
  checkProcedurePass(body, store);
  // What was welded before may still be found to belong to a joint that was cut out.
  const cutOut = cutOutOf(store.journal.about(`joint ${body.joint}`));
  if (cutOut && pass.startUtc > cutOut.at) throw retired(body.joint, cutOut);
  const there = facts.joint(body.joint);
  const others = there?.recorded.filter(({ message }) => message.passId !== body.passId) ?? [];
  if (others.length > 0 && there && there.origin !== pass.origin) {
    throw refusal(
      'originMixed',
      `The pass is ${pass.origin} and joint ${body.joint} is ${there.origin}: they never share a joint.`,
    );
  }
}

function checkCall({ passId, call }: Extract<EntryBody, { kind: 'callMark' }>, store: DashboardStore): void {
  const pass = store.pass(passId);
  if (!pass) throw refusal('passUnknown', `No pass ${passId} is stored.`);
  const known =
    call.of === 'deviation'
      ? call.number <= pass.deviations.length
      : pass.pass.drift?.calls.some(({ number }) => number === call.number) === true;
  if (known) return;
  throw refusal('callUnknown', `Pass ${passId} has no ${call.of} number ${call.number}.`);
}

export function checkProcedurePass(
  work: { readonly procedureId: string; readonly procedureRevision: number; readonly pass: string },
  store: DashboardStore,
): void {
  const entry = store.procedure(work.procedureId, work.procedureRevision);
  const named = `revision ${work.procedureRevision} of procedure ${work.procedureId}`;
  if (!entry) throw refusal('procedureUnknown', `There is no ${named} here: store it first.`);
  if (!entry.procedure.passes.some(({ name }) => name === work.pass)) {
    throw refusal('procedurePassUnknown', `There is no pass "${work.pass}" in ${named}.`);
  }
}

function checkStatus(
  { corrects }: NewEntry,
  { procedureId, procedureRevision, status }: Extract<EntryBody, { kind: 'procedureStatus' }>,
  { facts }: EntryChecks,
): void {
  const named = `Revision ${procedureRevision} of procedure ${procedureId}`;
  const state = facts.procedureState(procedureId, procedureRevision);
  if (state === 'unknown') throw refusal('procedureUnknown', `${named} is not stored here.`);
  if (state === 'withdrawn' && status === 'approved' && corrects === null) {
    throw refusal(
      'procedureWithdrawn',
      `${named} is withdrawn: store a new revision, or correct the withdrawal.`,
    );
  }
}

/** Where an entry belongs: as the rig, the pass or the joint it is about; else as everything here. */
export function entryOrigin(body: EntryBody, { store, board, facts }: EntryChecks): Origin {
  if (body.kind === 'passMoved' || body.kind === 'callMark') return store.pass(body.passId)?.origin ?? 'real';
  if ('rig' in body) return board.originOf(body);
  if ('joint' in body) {
    const known = facts.joint(body.joint);
    if (known) return known.origin;
  }
  const origins = new Set(store.rigs().flatMap(({ origin }) => origin ?? []));
  const [only] = origins;
  // Mixed or unknown: an entry about real work must not read as play.
  return origins.size === 1 && only !== undefined ? only : 'real';
}
