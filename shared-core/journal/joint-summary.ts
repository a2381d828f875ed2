/** A joint as one row of a list: what is done, what is missing in its record, how it stands. */
import type { Finding, JointSummary } from '../messages/api-journal.ts';
import { type JointFacts, jointProcedure } from './joint-facts.ts';
import { foldJoint, isDoneOn, nextPassOf, SIDES } from './joint-fold.ts';
import { recordFindings } from './record-findings.ts';
import { repairOf } from './repairs.ts';

/** Findings that say that something of the record is not there; of the others a list only has the number. */
const MISSING: ReadonlySet<string> = new Set([
  'jointNotOpened',
  'passMissing',
  'preheatMissing',
  'interpassMissing',
  'layerNotReleased',
]);
/** As many as a row can say. */
const MOST_SAID = 12;

/** `assignedUtc`: when it was last put before a rig that still has it; null where none has. */
export function jointSummary(facts: JointFacts, assignedUtc: string | null): JointSummary {
  const fold = foldJoint(facts);
  const { counted } = fold;
  const planned = facts.procedure?.passes ?? [];
  const findings = recordFindings(facts, fold);
  const nextPass = nextPassOf(fold, facts);
  const named = jointProcedure(fold.particulars, facts.assigned, facts.recorded);
  const isMissing = ({ code }: Finding): boolean => MISSING.has(code);
  const starts = counted.map(({ message }) => message.startUtc).sort();
  const ends = counted.map(({ message }) => message.endUtc).sort();
  const said = facts.entries
    .filter(({ body }) => body.kind === 'jointOpened' || body.kind === 'passMoved')
    .map(({ at }) => at);
  const heard = [...ends, ...said, ...(assignedUtc === null ? [] : [assignedUtc])].sort();
  return {
    joint: facts.joint,
    origin: facts.origin,
    opened: fold.opened.length > 0,
    onHold: fold.hold !== null,
    station: fold.particulars.station ?? null,
    passes: counted.length,
    repairs: counted.filter(({ message }) => repairOf(facts.entries, message.startUtc) !== null).length,
    lastUtc: heard.at(-1) ?? null,
    firstArcUtc: starts[0] ?? null,
    lastArcUtc: ends.at(-1) ?? null,
    rigs: [...new Set(counted.map(({ message }) => `${message.site}/${message.rig}`))].sort(),
    procedure: named,
    deviations:
      counted.length === 0 ? null : counted.reduce((n, { message }) => n + message.deviations.length, 0),
    disposition: fold.disposition?.body.decision ?? null,
    done: planned.flatMap(({ name }) => SIDES.filter(side => isDoneOn(fold, name, side))).length,
    wanted: planned.length * SIDES.length,
    complete: facts.procedure === null ? null : nextPass === null,
    nextPass,
    missing: findings
      .filter(isMissing)
      .slice(0, MOST_SAID)
      .map(({ text }) => text),
    findings: findings.length,
  };
}
