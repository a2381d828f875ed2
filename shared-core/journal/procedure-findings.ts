/** Whether the WPS that is named may be used, and fits the pipe. */
import type { Finding } from '../messages/api-journal.ts';
import type { Procedure } from '../procedure/procedure.ts';
import { finding, jointPath, numberWords, pagePath } from './finding.ts';
import type { JointFacts, ProcedureName } from './joint-facts.ts';
import type { JointFold } from './joint-fold.ts';

/** A pipe is nominally the procedure's own within the rounding of sizes between inches and mm (common practice, no source). */
const SAME_SIZE = 0.01;

export function procedureFindings(
  facts: JointFacts,
  fold: JointFold,
  named: ProcedureName | null,
): Finding[] {
  const { joint, procedure } = facts;
  if (named === null) {
    const text = `No WPS is named for joint ${joint}.`;
    return [
      finding('procedureMissing', text, 'Name the WPS and its revision.', jointPath(joint, 'particulars')),
    ];
  }
  const words = `WPS ${named.id} revision ${named.revision}`;
  const link = pagePath(['procedures', named.id, String(named.revision)]);
  if (procedure === null) {
    const text = `${words} is not stored here: nothing can be judged by it.`;
    return [finding('procedureUnknown', text, 'Store this revision.', '/procedures')];
  }
  return [
    ...statusFindings(facts, procedure, words, link),
    ...sizeFindings(facts, fold, procedure, words, link),
  ];
}

function statusFindings(facts: JointFacts, procedure: Procedure, words: string, link: string): Finding[] {
  const findings: Finding[] = [];
  if (facts.procedureState === 'withdrawn') {
    const text = `${words} is withdrawn.`;
    findings.push(finding('procedureWithdrawn', text, 'Name the revision in force.', link));
  } else if (facts.procedureState !== 'approved') {
    const text = `${words} is not approved.`;
    findings.push(finding('procedureNotApproved', text, 'Have it approved, or name an approved one.', link));
  }
  if (procedure.exampleOnly === true && facts.origin === 'real') {
    const text = `${words} is an example only: its limits are not a procedure.`;
    findings.push(finding('procedureExample', text, 'Name the WPS of the job.', link));
  }
  return findings;
}

function sizeFindings(
  facts: JointFacts,
  fold: JointFold,
  procedure: Procedure,
  words: string,
  link: string,
): Finding[] {
  const { baseMaterial, pipe } = procedure;
  const diameter = fold.particulars.outsideDiameterMm ?? facts.assigned.at(-1)?.outsideDiameterMm;
  const sizes = [
    {
      code: 'diameterOutsideProcedure',
      what: 'Outside diameter',
      value: diameter,
      range: rangeOf(
        baseMaterial?.outsideDiameterMinMm,
        baseMaterial?.outsideDiameterMaxMm,
        pipe?.outsideDiameterMm,
      ),
    },
    {
      code: 'wallOutsideProcedure',
      what: 'Wall thickness',
      value: fold.particulars.wallThicknessMm,
      range: rangeOf(
        baseMaterial?.wallThicknessMinMm,
        baseMaterial?.wallThicknessMaxMm,
        pipe?.wallThicknessMm,
      ),
    },
  ];
  return sizes.flatMap(({ code, what, value, range }) => {
    if (value === undefined || range === null || (value >= range.min && value <= range.max)) return [];
    const text = `${what} ${numberWords(value)} mm is outside ${words}: ${range.words}.`;
    return [finding(code, text, 'Set the size right, or name a WPS that covers it.', link)];
  });
}

/** The range the WPS states; where it states none, the size of pipe it was written for. */
function rangeOf(
  min: number | undefined,
  max: number | undefined,
  nominal: number | undefined,
): { min: number; max: number; words: string } | null {
  if (min !== undefined || max !== undefined) {
    const words = [
      ...(min === undefined ? [] : [`from ${numberWords(min)} mm`]),
      ...(max === undefined ? [] : [`to ${numberWords(max)} mm`]),
    ].join(' ');
    return { min: min ?? 0, max: max ?? Number.POSITIVE_INFINITY, words };
  }
  if (nominal === undefined) return null;
  return {
    min: nominal * (1 - SAME_SIZE),
    max: nominal * (1 + SAME_SIZE),
    words: `it is written for ${numberWords(nominal)} mm`,
  };
}
