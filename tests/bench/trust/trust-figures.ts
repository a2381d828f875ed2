/** The trust figures held against their goals, for the table of all benchmarks. */
import type { Measured } from '../../support/trust/measure-trust.ts';
import { SEVERITIES, type SeverityName, TRUST_FAULTS } from '../../support/trust/trust-faults.ts';
import { RAMPS } from '../../support/trust/trust-plan.ts';
import {
  type Detection,
  detectionOf,
  falseCallsOf,
  rampOf,
  type Share,
  shareOf,
} from '../../support/trust/trust-summary.ts';
import type { Figure } from '../harness/figure.ts';

export const TRUST_ID = 'TRUST';

export const GOALS = {
  falsePer100: 1,
  medium: 0.95,
  mediumMm: 75,
  severe: 0.99,
  severeMm: 50,
  ramps: 0.8,
} as const;

export const percent = (share: number): string =>
  `${(100 * share).toFixed(share > 0 && share < 0.095 ? 1 : 0)} %`;
export const shareText = (share: Share): string =>
  share.of === 0
    ? '–'
    : `${percent(share.count / share.of)} (${share.count} of ${share.of}; ${percent(share.low)}–${percent(share.high)})`;

export function detections({ trials }: Measured): Detection[] {
  return TRUST_FAULTS.flatMap(fault =>
    (Object.keys(SEVERITIES) as SeverityName[])
      .map(severity => detectionOf(trials, fault, severity))
      .filter(({ trials: n }) => n > 0),
  );
}

/** Faults that a sign shows and that come in sizes: those the goals are about. */
export const judged = (found: readonly Detection[], severity: SeverityName): Detection[] =>
  found.filter(one => {
    const fault = TRUST_FAULTS.find(({ id }) => id === one.fault)!;
    return one.severity === severity && fault.hasSign;
  });

const pooled = (found: readonly Detection[], pick: (one: Detection) => Share): Share =>
  shareOf(
    found.reduce((sum, one) => sum + pick(one).count, 0),
    found.reduce((sum, one) => sum + pick(one).of, 0),
  );

export function trustFigures(measured: Measured): Figure[] {
  const good = falseCallsOf(measured.trials.filter(({ kind }) => kind === 'good'));
  const found = detections(measured);
  const medium = judged(found, 'medium');
  const severe = judged(found, 'severe');
  const ramps = RAMPS.map(({ id }) => rampOf(measured.trials, id));
  const before = shareOf(
    ramps.reduce((sum, { before }) => sum + before.count, 0),
    ramps.reduce((sum, { before }) => sum + before.of, 0),
  );
  const line = (what: string, goal: string, subject: string, met: boolean | null, note?: string): Figure => ({
    id: TRUST_ID,
    what,
    goal,
    ratio: null,
    subject,
    baseline: '–',
    verdict: met === null ? 'for information' : met ? 'met' : 'missed',
    ...(note === undefined ? {} : { note }),
  });
  const below = (which: readonly Detection[], share: number, pick: (one: Detection) => Share): string[] =>
    which.filter(one => pick(one).count < share * pick(one).of).map(one => one.fault);
  const short = (faults: readonly string[]): string | undefined =>
    faults.length === 0 ? undefined : `Below the goal alone: ${faults.join(', ')}.`;
  const mediumShare = pooled(medium, ({ within75 }) => within75);
  const severeShare = pooled(severe, ({ within50 }) => within50);
  const mediumShort = below(medium, GOALS.medium, ({ within75 }) => within75);
  const severeShort = below(severe, GOALS.severe, ({ within50 }) => within50);
  const met = (share: Share, goal: number): boolean => share.count >= goal * share.of;
  return [
    line(
      'good passes with an announced call, all rules',
      `≤ ${GOALS.falsePer100} in 100`,
      shareText(good.any),
      good.any.count <= (GOALS.falsePer100 / 100) * good.any.of,
    ),
    line(
      'medium faults called within 75 mm, every one with a sign',
      `≥ ${percent(GOALS.medium)}`,
      shareText(mediumShare),
      met(mediumShare, GOALS.medium),
      short(mediumShort),
    ),
    line(
      'severe faults called within 50 mm, every one with a sign',
      `≥ ${percent(GOALS.severe)}`,
      shareText(severeShare),
      met(severeShare, GOALS.severe),
      short(severeShort),
    ),
    line(
      'slow ramps called before a limit is crossed',
      `≥ ${percent(GOALS.ramps)}`,
      shareText(before),
      met(before, GOALS.ramps),
    ),
    line(
      'severe faults, right explanation among the three',
      'none',
      shareText(pooled(severe, ({ rightAmong }) => rightAmong)),
      null,
    ),
  ];
}
