/** What is wrong or missing in the record of a joint as it stands: order, gaps, numbers used twice. */
import type { Finding, PassStanding } from '../messages/api-journal.ts';
import { finding, jointPath, onceEach, whenWords } from './finding.ts';
import type { JointFacts, RecordedPass } from './joint-facts.ts';
import { type JointFold, SIDES, standingOfPass } from './joint-fold.ts';
import { readingFindings } from './reading-findings.ts';
import { cutOutOf, repairOf } from './repairs.ts';
import { holdFindings, layerFindings } from './work-findings.ts';

export function recordFindings(facts: JointFacts, fold: JointFold): Finding[] {
  return onceEach([
    ...holdFindings(facts, fold),
    ...weldedAfterCutOut(facts, fold),
    ...numberFindings(facts, fold),
    ...SIDES.flatMap(side => orderOn(facts, fold, side)),
    ...coveredLayers(facts, fold),
    ...recordedTwice(facts, fold),
    ...unknownPasses(facts, fold),
    ...(facts.procedure?.passes ?? [])
      .filter(({ name }) => SIDES.some(side => isBegun(standingOfPass(fold, name, side))))
      .flatMap(pass => readingFindings(facts, fold, pass)),
  ]);
}

const isBegun = (standing: PassStanding | null): boolean => standing !== null && standing.state !== 'none';

function numberFindings(facts: JointFacts, fold: JointFold): Finding[] {
  const { joint } = facts;
  const [first, ...again] = fold.opened;
  const link = jointPath(joint);
  if (!first) {
    if (fold.counted.length + facts.assigned.length === 0) return [];
    const text = `Joint ${joint} was never opened: its particulars are not known.`;
    return [
      finding(
        'jointNotOpened',
        text,
        'Open the joint and enter its particulars.',
        `/open-joint?joint=${encodeURIComponent(joint)}`,
      ),
    ];
  }
  return again.map(entry => {
    const text =
      `Joint number ${joint} is used twice: opened ${whenWords(first.at)} by ${facts.nameOf(first.author)} and ` +
      `again ${whenWords(entry.at)} by ${facts.nameOf(entry.author)}.`;
    return finding('jointNumberUsed', text, 'Give one of them another number and move its passes.', link);
  });
}

/** Of each pass of the procedure: is one before it missing though a later one is there, and were they in order? */
function orderOn(facts: JointFacts, fold: JointFold, side: 'A' | 'B'): Finding[] {
  const order = facts.procedure?.passes.map(({ name }) => name) ?? [];
  const standings = order.map(name => standingOfPass(fold, name, side));
  const last = standings.findLastIndex(isBegun);
  const findings: Finding[] = [];
  let latest: PassStanding | null = null;
  standings.slice(0, last + 1).forEach((standing, i) => {
    const name = order[i]!;
    if (!standing || standing.state === 'none') {
      const text = `${name}, side ${side}, is missing though ${order[last]} is there.`;
      const action = 'Move a pass that was recorded elsewhere, or enter who welded it and how.';
      findings.push(
        finding('passMissing', text, action, jointPath(facts.joint, 'elsewhere', { pass: name, side })),
      );
      return;
    }
    if (latest?.startUtc && standing.startUtc && standing.startUtc < latest.startUtc) {
      const text =
        `${name}, side ${side}, began ${whenWords(standing.startUtc)}, before ${latest.pass} at ` +
        `${whenWords(latest.startUtc)}, which the WPS puts first.`;
      const action = 'Check the joint number, the pass and the clocks of the rigs; move what stands wrong.';
      const passId = standing.passIds[0];
      findings.push(finding('passOutOfOrder', text, action, jointPath(facts.joint, 'move', { passId })));
    }
    latest = standing;
  });
  return findings;
}

function coveredLayers(facts: JointFacts, fold: JointFold): Finding[] {
  const order = facts.procedure?.passes.map(({ name }) => name) ?? [];
  return order.flatMap((layer, i) => {
    const next = order[i + 1];
    const isCovered = next !== undefined && SIDES.some(side => isBegun(standingOfPass(fold, next, side)));
    return isCovered ? layerFindings(facts, fold, layer, next) : [];
  });
}

/** A joint that was cut out is welded no more: what is recorded later belongs to another number. */
function weldedAfterCutOut(facts: JointFacts, fold: JointFold): Finding[] {
  const cutOut = cutOutOf(facts.entries);
  const after = cutOut && fold.counted.find(({ message }) => message.startUtc > cutOut.at);
  if (!cutOut || !after) return [];
  const text =
    `A pass was recorded ${whenWords(after.message.startUtc)} under joint ${facts.joint}, which was cut out ` +
    `${whenWords(cutOut.at)} by ${facts.nameOf(cutOut.author)}: its number is retired.`;
  const link = jointPath(facts.joint, 'move', { passId: after.message.passId });
  return [finding('jointCutOut', text, 'Move the pass to the joint that it is.', link)];
}

/**
 * Two records of one pass on one side over the same stretch; a continuation, a part of its own length and what was
 * welded under a ruling to repair are none.
 */
function recordedTwice(facts: JointFacts, fold: JointFold): Finding[] {
  return fold.passes.flatMap(({ pass, side }) => {
    const own = fold.counted.filter(
      ({ work, message }) =>
        work.pass === pass && work.side === side && repairOf(facts.entries, message.startUtc) === null,
    );
    const first = own.find((one, i) => own.slice(i + 1).some(other => isSameStretch(one, other)));
    const again = first && own.find(other => other !== first && isSameStretch(first, other));
    if (!first || !again) return [];
    const text =
      `${pass}, side ${side}, is recorded twice: ${whenWords(first.message.startUtc)} and ` +
      `${whenWords(again.message.startUtc)}. Is the joint number used again?`;
    const link = jointPath(facts.joint, 'move', { passId: again.message.passId });
    return [finding('passRecordedTwice', text, 'Move the pass that belongs elsewhere.', link)];
  });
}

function isSameStretch(a: RecordedPass, b: RecordedPass): boolean {
  if (b.message.pass.continues !== null || a.message.pass.continues !== null) return false;
  const [from1, to1, from2, to2] = [
    a.message.pass.startPositionMm,
    a.message.pass.endPositionMm,
    b.message.pass.startPositionMm,
    b.message.pass.endPositionMm,
  ];
  if (from1 === null || to1 === null || from2 === null || to2 === null) return true;
  const shared = Math.min(to1, to2) - Math.max(from1, from2);
  return shared > 0.5 * Math.min(to1 - from1, to2 - from2);
}

/** Recorded for this joint as something the procedure does not have. */
function unknownPasses(facts: JointFacts, fold: JointFold): Finding[] {
  const planned = new Set(facts.procedure?.passes.map(({ name }) => name));
  if (facts.procedure === null) return [];
  return fold.counted.flatMap(({ work, message }) => {
    if (work.pass !== null && planned.has(work.pass) && work.side !== null) return [];
    const what = work.pass === null ? 'names no pass' : `is ${work.pass}, which the WPS does not have`;
    const text = `A pass recorded ${whenWords(message.startUtc)} on ${message.site}/${message.rig} ${what}.`;
    const link = jointPath(facts.joint, 'move', { passId: message.passId });
    return [finding('passUnknown', text, 'Move it to the pass it is.', link)];
  });
}
