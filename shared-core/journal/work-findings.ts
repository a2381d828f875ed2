/** What to know before the arc of one pass on one side. Everything is said, nothing is refused. */
import type { Finding } from '../messages/api-journal.ts';
import type { Side } from '../messages/common.ts';
import type { ProcedurePass } from '../procedure/procedure.ts';
import { crewFindings } from './crew-findings.ts';
import { finding, jointPath, onceEach, whenWords } from './finding.ts';
import { type JointFacts, jointProcedure } from './joint-facts.ts';
import { isDone, type JointFold, SIDES, standingOfPass } from './joint-fold.ts';
import { procedureFindings } from './procedure-findings.ts';
import { readingFindings } from './reading-findings.ts';
import { cutOutOf, repairOf } from './repairs.ts';

export interface WorkAhead {
  readonly side: Side;
  readonly pass: string;
}

export function workFindings(facts: JointFacts, fold: JointFold, work: WorkAhead): Finding[] {
  const pass = facts.procedure?.passes.find(({ name }) => name === work.pass) ?? null;
  const named = jointProcedure(fold.particulars, facts.assigned, facts.recorded);
  return onceEach([
    ...cutOutFindings(facts),
    ...holdFindings(facts, fold),
    ...procedureFindings(facts, fold, named),
    ...orderFindings(facts, fold, work),
    ...materialFindings(facts, fold, pass),
    ...crewFindings(facts, fold, work.side, pass),
    ...(pass ? readingFindings(facts, fold, pass) : []),
  ]);
}

export function holdFindings(facts: JointFacts, { hold }: JointFold): Finding[] {
  if (!hold) return [];
  const text =
    `Joint ${facts.joint} is on hold since ${whenWords(hold.at)}, by ${facts.nameOf(hold.author)}: ` +
    `${hold.reason ?? 'no reason given'}`;
  return [
    finding(
      'jointOnHold',
      text,
      'Weld another joint, or have the hold lifted.',
      jointPath(facts.joint, 'hold'),
    ),
  ];
}

/** A joint that was cut out keeps its number for ever, and is never welded again. */
function cutOutFindings(facts: JointFacts): Finding[] {
  const cutOut = cutOutOf(facts.entries);
  if (!cutOut) return [];
  const text =
    `Joint ${facts.joint} was cut out ${whenWords(cutOut.at)} by ${facts.nameOf(cutOut.author)}: its number is ` +
    'retired and never used again.';
  return [
    finding(
      'jointCutOut',
      text,
      'Check the joint number; a new weld has a number of its own.',
      jointPath(facts.joint),
    ),
  ];
}

function orderFindings(facts: JointFacts, fold: JointFold, { side, pass }: WorkAhead): Finding[] {
  const { joint } = facts;
  const findings: Finding[] = [];
  const own = standingOfPass(fold, pass, side);
  // After a ruling to repair it is welded again on purpose.
  if (own && isDone(own) && repairOf(facts.entries, facts.now) === null) {
    const text =
      `${pass}, side ${side}, of joint ${joint} is done already (${whenWords(own.endUtc ?? facts.now)}): is the ` +
      'number used twice, or was the joint cut out? A number is never used again.';
    findings.push(finding('passDoneAlready', text, 'Check the joint number and the pass.', jointPath(joint)));
  }
  const order = facts.procedure?.passes.map(({ name }) => name) ?? [];
  const index = order.indexOf(pass);
  for (const earlier of index < 0 ? [] : order.slice(0, index)) {
    const before = standingOfPass(fold, earlier, side);
    if (before && isDone(before)) continue;
    const text = `${pass}, side ${side}, would come before ${earlier}, which is ${before?.state === 'open' ? 'still open' : 'not recorded'} there.`;
    const link = jointPath(joint, 'elsewhere', { pass: earlier, side });
    const action = `Weld ${earlier} first; if it was welded unseen, enter by whom and how.`;
    findings.push(finding('passBeforePredecessor', text, action, link));
  }
  const previous = index > 0 ? order[index - 1] : undefined;
  if (previous !== undefined) findings.push(...layerFindings(facts, fold, previous, pass));
  return findings;
}

/** The layer below must be released before the next one covers it. */
export function layerFindings(facts: JointFacts, fold: JointFold, layer: string, next: string): Finding[] {
  const release = fold.releases.get(layer);
  if (release?.body.released === true) return [];
  const isWelded = SIDES.some(side => standingOfPass(fold, layer, side)?.state !== 'none');
  if (!isWelded) return [];
  const link = jointPath(facts.joint, 'release', { pass: layer });
  if (release) {
    const text = `${layer} was not released by ${facts.nameOf(release.author)}${release.body.note ? `: ${release.body.note}` : '.'}`;
    return [finding('layerRefused', text, `Mend ${layer} and have it released before ${next}.`, link)];
  }
  const text = `${layer} has no visual release, and ${next} covers it.`;
  return [finding('layerNotReleased', text, `Examine ${layer} and enter the release.`, link)];
}

/** Processes without shielding gas: covered electrode and self-shielded wire (ISO 4063: 111, 114). */
const WITHOUT_GAS = new Set(['111', '114']);

function materialFindings(facts: JointFacts, fold: JointFold, pass: ProcedurePass | null): Finding[] {
  const { joint } = facts;
  const findings: Finding[] = [];
  const lots = jointPath(joint, 'lots');
  if (fold.wireLot === null) {
    findings.push(
      finding('wireLotMissing', `No wire lot is entered for joint ${joint}.`, 'Enter the wire lot.', lots),
    );
  }
  if (fold.gasLot === null && !WITHOUT_GAS.has(pass?.process ?? '')) {
    findings.push(
      finding('gasLotMissing', `No gas lot is entered for joint ${joint}.`, 'Enter the gas lot.', lots),
    );
  }
  const link = jointPath(joint, 'polarity');
  if (fold.polarity === null) {
    const text = `The polarity is not confirmed for joint ${joint}.`;
    findings.push(finding('polarityNotConfirmed', text, 'Look at the leads and confirm the polarity.', link));
  } else if (pass?.polarity !== undefined && pass.polarity !== fold.polarity) {
    const text = `The polarity confirmed is ${POLARITY[fold.polarity]}; ${pass.name} asks for ${POLARITY[pass.polarity]}.`;
    findings.push(
      finding('polarityOther', text, 'A qualified person changes the leads; then confirm again.', link),
    );
  }
  return findings;
}

const POLARITY = {
  electrodePositive: 'electrode positive',
  electrodeNegative: 'electrode negative',
} as const;
