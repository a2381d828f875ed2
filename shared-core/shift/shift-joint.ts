/** A joint as a shift leaves it: complete, or what is missing in words. */

import type { JointFacts } from '../journal/joint-facts.ts';
import { foldJoint, isDoneOn, nextPassOf, SIDES, standingOfPass } from '../journal/joint-fold.ts';
import type { ShiftJoint } from '../messages/api-shift.ts';
import type { ShiftPass } from './shift-facts.ts';

type Missing = ShiftJoint['missing'];

/** `passes`: those of the shift that count for it. */
export function shiftJoint(facts: JointFacts, passes: readonly ShiftPass[]): ShiftJoint {
  const fold = foldJoint(facts);
  const known = facts.procedure !== null;
  const complete = known ? nextPassOf(fold, facts) === null : null;
  const missing = (facts.procedure?.passes ?? []).flatMap(({ name }) =>
    SIDES.filter(side => !isDoneOn(fold, name, side)).map((side): Missing[number] => ({
      pass: name,
      side,
      state: standingOfPass(fold, name, side)?.state === 'open' ? 'open' : 'none',
    })),
  );
  return {
    joint: facts.joint,
    passes: passes.length,
    complete,
    missing,
    text: known
      ? complete
        ? null
        : missingText(missing)
      : 'its procedure is not known: whether it is complete cannot be said',
    onHold: fold.hold !== null,
    decision: fold.disposition?.body.decision ?? null,
    deviations: passes.reduce((sum, { message }) => sum + message.deviations.length, 0),
    changes: passes.reduce((sum, { changes }) => sum + changes, 0),
  };
}

/** "root B still open; fill 1 B; cap A and B": what is not recorded as done, in the order of the procedure. */
export function missingText(missing: Missing): string {
  const names = [...new Set(missing.map(({ pass }) => pass))];
  return names
    .flatMap(name => {
      const sides = (state: Missing[number]['state']): string =>
        missing
          .filter(one => one.pass === name && one.state === state)
          .map(({ side }) => side)
          .join(' and ');
      const [none, open] = [sides('none'), sides('open')];
      return [
        ...(open === '' ? [] : [`${name} ${open} still open`]),
        ...(none === '' ? [] : [`${name} ${none}`]),
      ];
    })
    .join('; ');
}
