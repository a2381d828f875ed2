/** What is simulated for the trust figures: how many passes of each kind, with fixed seeds. */
import { CAUSES } from '#core/drift/looks-like-parts';
import type { FaultKind } from '../../../simulator/faults/fault.ts';
import { type RigName, SEVERITIES, type SeverityName, TRUST_FAULTS } from './trust-faults.ts';

/** One pass of each transfer and weave: the three fills of the example differ in their weave only. */
export const PASSES = ['root', 'hot', 'fill 1', 'cap'] as const;
/** Half the circumference of the example pipe, 610 mm. */
export const WHOLE_MM = 958;
/** A fault is watched for so much weld, then the pass ends. */
export const WATCHED_MM = 225;
/** It begins somewhere here, mm. */
export const ONSET_MM = [150, 275] as const;

export interface Amount {
  readonly good: number;
  /** Passes a fault and severity. */
  readonly perFault: number;
  readonly perRamp: number;
  /** Good passes a rig and pass type to learn from; each trial's baseline is drawn from them. */
  readonly learn: number;
}
export const AMOUNTS = {
  usual: { good: 640, perFault: 24, perRamp: 24, learn: 20 },
  full: { good: 4000, perFault: 100, perRamp: 100, learn: 40 },
} as const satisfies Record<string, Amount>;

/** A slow change that goes on until it has crossed a limit. */
export interface Ramp {
  readonly id: string;
  readonly title: string;
  readonly kind: FaultKind;
  readonly unit: string;
  /** At its end: enough to cross the limit of every pass type. */
  readonly size: number;
  readonly right: readonly string[];
}

export const RAMP_MM = 400;
export const RAMPS: readonly Ramp[] = [
  {
    id: 'stick-out',
    title: 'stick-out grows',
    kind: 'stickOutGrowth',
    unit: 'mm',
    size: 6,
    right: [CAUSES.stickOutLonger],
  },
  {
    id: 'slip',
    title: 'wire slips more and more, feed read at the motor',
    kind: 'wireSlip',
    unit: '%',
    size: 15,
    right: [CAUSES.slipAtMotor],
  },
  { id: 'feed', title: 'wire feed sinks', kind: 'feedOffset', unit: '%', size: -10, right: [CAUSES.feedSet] },
  {
    id: 'voltage',
    title: 'voltage sinks',
    kind: 'voltageOffset',
    unit: 'V',
    size: -2.6,
    right: [CAUSES.voltageSet],
  },
  {
    id: 'travel',
    title: 'travel rises',
    kind: 'travelOffset',
    unit: '%',
    size: 12,
    right: [CAUSES.travelSet],
  },
];

export type Job =
  | { readonly kind: 'learn'; readonly rig: RigName; readonly pass: string; readonly seed: number }
  | { readonly kind: 'good'; readonly rig: RigName; readonly pass: string; readonly seed: number }
  | {
      readonly kind: 'fault';
      readonly fault: string;
      readonly severity: SeverityName;
      readonly rig: RigName;
      readonly pass: string;
      readonly seed: number;
    }
  | {
      readonly kind: 'ramp';
      readonly ramp: string;
      readonly rig: RigName;
      readonly pass: string;
      readonly seed: number;
    };

const range = (n: number): number[] => Array.from({ length: n }, (_, i) => i);
const passOf = (i: number): string => PASSES[i % PASSES.length]!;
const MAIN_RIG: RigName = 'feed at the motor';

/** Rigs and pass types that something is simulated on. */
export function pairs(): { rig: RigName; pass: string }[] {
  const rigs = [...new Set([MAIN_RIG, ...TRUST_FAULTS.map(({ rig }) => rig)])];
  return rigs.flatMap(rig => PASSES.map(pass => ({ rig, pass })));
}

export const learnJobs = ({ learn }: Amount): Job[] =>
  pairs().flatMap(({ rig, pass }, pair) =>
    range(learn).map(i => ({ kind: 'learn' as const, rig, pass, seed: 10_000 * (pair + 1) + i })),
  );

/** Every seed is its own pass; good ones, learned ones and faulty ones never share one. */
export function trialJobs({ good, perFault, perRamp }: Amount): Job[] {
  const severities = Object.keys(SEVERITIES) as SeverityName[];
  return [
    ...range(good).map(i => ({ kind: 'good' as const, rig: MAIN_RIG, pass: passOf(i), seed: 1_000_000 + i })),
    ...TRUST_FAULTS.flatMap((fault, f) =>
      (fault.sizes[0] === fault.sizes[1] ? (['severe'] as const) : severities).flatMap((severity, s) =>
        range(perFault).map(i => ({
          kind: 'fault' as const,
          fault: fault.id,
          severity,
          rig: fault.rig,
          pass: passOf(i),
          seed: 2_000_000 + 10_000 * (3 * f + s) + i,
        })),
      ),
    ),
    ...RAMPS.flatMap((ramp, r) =>
      range(perRamp).map(i => ({
        kind: 'ramp' as const,
        ramp: ramp.id,
        rig: MAIN_RIG,
        pass: passOf(i),
        seed: 4_000_000 + 10_000 * r + i,
      })),
    ),
  ];
}
