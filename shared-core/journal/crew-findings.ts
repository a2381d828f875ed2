/** Whether who welds is named and may weld it. Warned before the arc; nobody is locked out. */
import type { Finding } from '../messages/api-journal.ts';
import type { Side } from '../messages/common.ts';
import type { ProcedurePass } from '../procedure/procedure.ts';
import { finding, jointPath } from './finding.ts';
import type { JointFacts } from './joint-facts.ts';
import type { JointFold } from './joint-fold.ts';

export function crewFindings(
  facts: JointFacts,
  fold: JointFold,
  side: Side,
  pass: ProcedurePass | null,
): Finding[] {
  const { joint, qualifications, nameOf, today } = facts;
  const person = side === 'A' ? fold.crew?.operatorA : fold.crew?.operatorB;
  if (person === null || person === undefined) {
    const text = `No welding operator is named for side ${side} of joint ${joint}.`;
    return [finding('operatorMissing', text, 'Enter the crew.', jointPath(joint, 'crew'))];
  }
  const link = jointPath(joint, 'qualification', { person });
  const named = `${nameOf(person)}, side ${side}`;
  const held = qualifications.filter(({ body }) => body.person === person);
  if (held.length === 0) {
    const text = `${named}: no qualification is entered.`;
    return [
      finding('qualificationMissing', text, 'Enter the qualification, or name another operator.', link),
    ];
  }
  const process = pass?.process;
  const fitting = process === undefined ? held : held.filter(({ body }) => body.process === process);
  if (fitting.length === 0) {
    const has = [...new Set(held.map(({ body }) => body.process))].join(', ');
    const text = `${named}: qualified for process ${has}; ${pass?.name} is process ${process}.`;
    return [finding('qualificationOtherProcess', text, 'Name an operator qualified for the process.', link)];
  }
  // Good through the day it names.
  const last = fitting
    .map(({ body }) => body.expires)
    .sort()
    .at(-1)!;
  if (last >= today) return [];
  const text = `${named}: qualification expired on ${last}.`;
  return [finding('qualificationExpired', text, 'Enter its renewal, or name another operator.', link)];
}
