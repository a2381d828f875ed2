import { localDate } from '#core/csv/local-time';
import { type Entry, standingOf } from '#core/journal/entry';
import {
  type AssignedWork,
  type JointFacts,
  jointProcedure,
  type RecordedPass,
} from '#core/journal/joint-facts';
import { foldJoint } from '#core/journal/joint-fold';
import type { Origin } from '#core/messages/common';
import type { PassMessage } from '#core/messages/pass';
import type { Procedure } from '#core/procedure/procedure';
import type { ShiftPass } from '#core/shift/shift-facts';
import type { ShiftContext } from './read-shift.ts';

interface Asked {
  readonly origin: Origin;
  readonly site: string | undefined;
  readonly fromUtc: string;
  readonly toUtc: string;
  readonly now: string;
  /** Of the shift. */
  readonly passes: readonly ShiftPass[];
}

/**
 * Facts of every joint that passes of the shift count for, in the order of their first arc, with what was recorded of it
 * until the end of the shift. As JournalFacts reads one joint, but for many at once: what completeness stands on, from
 * passes that are read already; nothing that is about the next pass.
 */
export function shiftJointFacts(context: ShiftContext, asked: Asked): JointFacts[] {
  const { store, facts } = context;
  const { origin, site, fromUtc, toUtc, passes } = asked;
  const names = new Set(passes.flatMap(({ work }) => (work.joint === null ? [] : [work.joint])));
  const recordedUnder = new Map<string, PassMessage[]>();
  for (const { message } of passes) {
    if (message.joint === null) continue;
    const own = recordedUnder.get(message.joint);
    if (own) own.push(message);
    else recordedUnder.set(message.joint, [message]);
  }
  const movedTo = new Map<string, string[]>();
  for (const { body } of standingOf(store.journal.ofKind('passMoved'), 'passMoved')) {
    if (names.has(body.joint)) movedTo.set(body.joint, [...(movedTo.get(body.joint) ?? []), body.passId]);
  }
  const procedures = new Map<string, Procedure | null>();
  const procedureOf = (id: string, revision: number): Procedure | null => {
    const key = `${id} ${revision}`;
    const known = procedures.get(key);
    if (known !== undefined) return known;
    const read = store.procedure(id, revision)?.procedure ?? null;
    procedures.set(key, read);
    return read;
  };

  return [...names].map((joint): JointFacts => {
    // Of one site only its own passes of the shift are read; the joint may have others.
    const earlier = store.passesBegun({ origin, joint, toUtc: site === undefined ? fromUtc : toUtc });
    const movedIn = (movedTo.get(joint) ?? []).flatMap(id => store.pass(id) ?? []);
    const all = new Map<string, RecordedPass>();
    for (const message of [
      ...earlier.map(pass => pass.message),
      ...(recordedUnder.get(joint) ?? []),
      ...movedIn.filter(pass => pass.origin === origin && pass.startUtc < toUtc),
    ]) {
      all.set(message.passId, facts.recorded(message));
    }
    const recorded = [...all.values()].sort((a, b) => (a.message.startUtc < b.message.startUtc ? -1 : 1));
    return jointFacts(context, joint, recorded, asked, procedureOf);
  });
}

function jointFacts(
  { store, board, facts }: ShiftContext,
  joint: string,
  recorded: readonly RecordedPass[],
  { origin, now, toUtc }: Asked,
  procedureOf: (id: string, revision: number) => Procedure | null,
): JointFacts {
  const assigned = board
    .assignmentsOf(joint, origin)
    .flatMap(({ work }): AssignedWork[] => (work ? [work] : []));
  const bare: JointFacts = {
    joint,
    origin,
    now,
    today: localDate(Date.parse(now), facts.zone),
    entries: store.journal.about(`joint ${joint}`).filter(entry => !isLater(entry, toUtc)),
    recorded,
    assigned,
    procedure: null,
    procedureState: 'unknown',
    qualifications: [],
    nameOf: id => id,
  };
  const named = jointProcedure(foldJoint(bare).particulars, assigned, recorded);
  return named ? { ...bare, procedure: procedureOf(named.id, named.revision) } : bare;
}

/** Welded unseen after the shift: entered since, and nothing of it. */
const isLater = ({ body }: Entry, toUtc: string): boolean =>
  body.kind === 'loggedElsewhere' && body.weldedAt >= toUtc;
