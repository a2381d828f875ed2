import type { Finding, JointState } from '../messages/api-journal.ts';
import { onceEach } from './finding.ts';
import { type JointFacts, jointProcedure } from './joint-facts.ts';
import { foldJoint, isDoneOn, type JointFold, nextPassOf, SIDES } from './joint-fold.ts';
import { procedureFindings } from './procedure-findings.ts';
import { recordFindings } from './record-findings.ts';
import { workFindings } from './work-findings.ts';

/** Everything a joint's page shows beside its measurements. Pure: the same facts give the same state. */
export function jointState(facts: JointFacts): JointState {
  const fold = foldJoint(facts);
  const nextPass = nextPassOf(fold, facts);
  const named = jointProcedure(fold.particulars, facts.assigned, facts.recorded);
  const { hold, disposition } = fold;
  return {
    joint: facts.joint,
    origin: facts.origin,
    opened: fold.opened.length > 0,
    onHold: hold && { reason: hold.reason ?? '', author: hold.author, at: hold.at },
    disposition: disposition && {
      decision: disposition.body.decision,
      reason: disposition.reason ?? '',
      author: disposition.author,
      at: disposition.at,
      entryId: disposition.id,
    },
    particulars: fold.particulars,
    wireLot: fold.wireLot,
    gasLot: fold.gasLot,
    polarity: fold.polarity,
    crew: fold.crew,
    procedure: named && { ...named, state: facts.procedureState },
    passes: [...fold.passes],
    movedOut: fold.movedOut.flatMap(({ move }) => (move ? [move] : [])),
    complete: facts.procedure === null ? null : nextPass === null,
    nextPass,
    findings: findingsOf(facts, fold, nextPass),
    entries: [...facts.entries],
  };
}

/** Of the record, then of the next pass on every side that lacks it. */
function findingsOf(facts: JointFacts, fold: JointFold, nextPass: string | null): Finding[] {
  const ahead =
    nextPass === null
      ? []
      : SIDES.filter(side => !isDoneOn(fold, nextPass, side)).map(side => ({ side, pass: nextPass }));
  const known = recordFindings(facts, fold);
  const named = jointProcedure(fold.particulars, facts.assigned, facts.recorded);
  // Without a procedure there is no next pass, and that is what has to be said.
  if (facts.procedure === null) known.push(...procedureFindings(facts, fold, named));
  return onceEach([...known, ...ahead.flatMap(work => workFindings(facts, fold, work))]);
}
