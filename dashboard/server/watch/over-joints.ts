/** One pass type over the last joints: what each rig does day by day, and how both sides of a joint closed. */
import type { OverJoints, PassTypes } from '#core/messages/api-watch';
import { ORIGINS, type Origin } from '#core/messages/common';
import type { PassMessage } from '#core/messages/pass';
import { closure } from '#core/position/closure';
import type { JournalFacts } from '../api/journal-facts.ts';
import { uncertaintyOf } from '../api/rejudge.ts';
import type { DashboardStore } from '../store/store.ts';

/** Passes that are looked through, newest: what is older than this is for an export. */
const LOOKED_THROUGH = 4000;
const PAGE = 200;

interface Facts {
  readonly store: DashboardStore;
  readonly facts: JournalFacts;
}

/** Pages of closed passes of one origin, newest first, each with what it counts as after moves. */
function* newestPasses({ store, facts }: Facts, origin: Origin) {
  let before: string | undefined;
  for (let seen = 0; seen < LOOKED_THROUGH; seen += PAGE) {
    const { items, next } = store.passes({ origin, limit: PAGE, before });
    yield items
      .filter(({ state }) => state === 'closed')
      .map(message => ({ message, work: facts.recorded(message).work }));
    if (next === null) return;
    before = next;
  }
}

/** Gives way after every page. */
export function* passTypes(context: Facts): Generator<void, PassTypes> {
  const found = new Map<string, PassTypes['types'][number]>();
  for (const origin of ORIGINS) {
    for (const page of newestPasses(context, origin)) {
      for (const { message, work } of page) {
        const { procedureId } = message;
        if (procedureId === null || work.pass === null) continue;
        const key = `${origin} ${procedureId} ${work.pass}`;
        const known = found.get(key);
        if (known) known.passes++;
        else found.set(key, { procedureId, pass: work.pass, origin, passes: 1, lastUtc: message.startUtc });
      }
      yield;
    }
  }
  return { types: [...found.values()].sort((a, b) => b.passes - a.passes) };
}

/** Gives way after every page. */
export function* overJoints(
  context: Facts,
  asked: { procedureId: string; pass: string; origin: Origin; limit: number },
): Generator<void, OverJoints> {
  const { procedureId, pass, origin, limit } = asked;
  const passes: OverJoints['passes'] = [];
  const sides = new Map<string, { A: PassMessage[]; B: PassMessage[]; atUtc: string }>();
  for (const page of newestPasses(context, origin)) {
    for (const { message, work } of page) {
      if (message.procedureId !== procedureId || work.pass !== pass) continue;
      const { joint, side } = work;
      if (joint === null || side === null || message.procedureRevision === null) continue;
      const both = sides.get(joint) ?? { A: [], B: [], atUtc: message.startUtc };
      both[side].push(message);
      sides.set(joint, both);
      const { pass: values } = message;
      if (values.continues !== null) continue;
      passes.push({
        passId: message.passId,
        site: message.site,
        rig: message.rig,
        joint,
        side,
        procedureRevision: message.procedureRevision,
        startUtc: message.startUtc,
        weldingCurrent: values.meanCurrentA,
        arcVoltage: values.meanVoltageV,
        wireFeedSpeed: values.meanWireFeedMmS,
        travelSpeed: values.meanTravelMmS,
        arcEnergy: values.arcEnergyKjMm,
        runOutLengthMm: values.runOutLengthMm,
        arcTimeS: values.arcTimeS,
        deviations: message.deviations.length,
      });
      if (passes.length >= limit) break;
    }
    if (passes.length >= limit) break;
    yield;
  }
  const closures = [...sides].flatMap(([joint, both]) =>
    both.A.length > 0 && both.B.length > 0 ? [closureOf(context.store, joint, both)] : [],
  );
  return { procedureId, pass, origin, passes: passes.reverse(), closures: closures.reverse() };
}

function closureOf(
  store: DashboardStore,
  joint: string,
  { A, B, atUtc }: { A: PassMessage[]; B: PassMessage[]; atUtc: string },
): OverJoints['closures'][number] {
  const all = [...A, ...B];
  const newest = all[0]!;
  const rigs = [...new Set(all.map(({ rig }) => rig))].sort();
  const unknown = (reason: string) => ({
    joint,
    atUtc,
    rigs,
    errorMm: null,
    error: null,
    uncertainty: null,
    finding: null,
    reason,
  });
  const lengthOf = (side: readonly PassMessage[]): number | null =>
    side.reduce<number | null>(
      (sum, { pass }) => (sum === null || pass.runOutLengthMm === null ? null : sum + pass.runOutLengthMm),
      0,
    );
  const [sideAMm, sideBMm] = [lengthOf(A), lengthOf(B)];
  if (sideAMm === null || sideBMm === null) return unknown('the run-out length of a side is not known');
  const procedure = store.procedure(newest.procedureId!, newest.procedureRevision!)?.procedure;
  const assigned = newest.assignmentId === null ? null : store.assignment(newest.assignmentId);
  const outsideDiameterMm = assigned?.work?.outsideDiameterMm ?? procedure?.pipe?.outsideDiameterMm;
  if (outsideDiameterMm === undefined) return unknown('no outside diameter is given');
  const travel = all.map(message => uncertaintyOf(message).travel);
  const worst = travel.includes(null) ? null : Math.max(...travel.map(Number));
  const overlapsMm = procedure?.closureOverlapMm ?? 0;
  const answer = closure({
    sideAMm,
    sideBMm,
    overlapsMm,
    outsideDiameterMm,
    travelRelative: worst ?? 0,
  });
  if (answer.kind !== 'value') return unknown(answer.text);
  const { error, errorMm, uncertainty, finding } = answer.value;
  const notes = [
    ...(procedure?.closureOverlapMm === undefined ? ['the WPS gives no overlap: counted as 0'] : []),
    ...(worst === null ? ['no uncertainty of travel is entered: not judged'] : []),
  ];
  return {
    joint,
    atUtc,
    rigs,
    errorMm,
    error,
    uncertainty: worst === null ? null : uncertainty,
    finding: worst === null ? null : finding,
    reason: notes.length === 0 ? null : notes.join('; '),
  };
}
