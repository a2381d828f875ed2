/** From trials to figures: false calls, detection, explanation, ramps. Shares with their 95 % intervals. */
import { median } from '#core/statistics/median';
import { RULES, type Rule, type Trial, type TrialCall } from './trial.ts';
import type { SeverityName, TrustFault } from './trust-faults.ts';

export const announced = ({ rule }: TrialCall): boolean => rule !== 'trim';

/** A share with its 95 % interval: Wilson, J. Amer. Statist. Assoc. 22 (1927). NaN of none. */
export interface Share {
  readonly count: number;
  readonly of: number;
  readonly low: number;
  readonly high: number;
}

const Z95 = 1.959964;

export function shareOf(count: number, of: number): Share {
  const p = count / of;
  const z2 = Z95 ** 2;
  const centre = (p + z2 / (2 * of)) / (1 + z2 / of);
  const half = (Z95 * Math.sqrt((p * (1 - p)) / of + z2 / (4 * of * of))) / (1 + z2 / of);
  return { count, of, low: Math.max(0, centre - half), high: Math.min(1, centre + half) };
}

export const shareWhere = <T>(of: readonly T[], is: (one: T) => boolean): Share =>
  shareOf(of.filter(is).length, of.length);

/** The value that a share of them do not exceed: nearest rank. Null of none. */
export function quantileOf(values: readonly number[], share: number): number | null {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)] ?? null;
}

export interface FalseCalls {
  readonly passes: number;
  readonly weldM: number;
  /** Passes with at least one call of the rule. */
  readonly byRule: Readonly<Record<Rule, Share>>;
  /** Passes with at least one announced call of any rule. */
  readonly any: Share;
  /** Trims that were made: told as a trim of the right channel; answered by an announced call. */
  readonly trimsTold: Share;
  readonly trimsAnnounced: Share;
  /** Trims told in passes that had none. */
  readonly trimsMadeUp: Share;
}

export function falseCallsOf(good: readonly Trial[]): FalseCalls {
  const trimmed = good.filter(({ trim }) => trim !== null);
  const told = ({ trim, calls }: Trial): boolean =>
    calls.some(
      call => call.rule === 'trim' && call.quantity === 'travelSpeed' && call.atMm >= trim!.atMm - 1,
    );
  const after = ({ trim, calls }: Trial): boolean =>
    calls.some(call => announced(call) && call.atMm >= trim!.atMm - 1);
  return {
    passes: good.length,
    weldM: good.reduce((sum, { lengthMm }) => sum + lengthMm, 0) / 1000,
    byRule: Object.fromEntries(
      RULES.map(rule => [rule, shareWhere(good, ({ calls }) => calls.some(call => call.rule === rule))]),
    ) as Record<Rule, Share>,
    any: shareWhere(good, ({ calls }) => calls.some(announced)),
    trimsTold: shareWhere(trimmed, told),
    trimsAnnounced: shareWhere(trimmed, after),
    trimsMadeUp: shareWhere(
      good.filter(({ trim }) => trim === null),
      ({ calls }) => calls.some(({ rule }) => rule === 'trim'),
    ),
  };
}

/** The first word on a fault: announced, or told as a trim where it may be one. */
export function firstCall(trial: Trial, fault: TrustFault): TrialCall | null {
  const counts = (call: TrialCall): boolean => announced(call) || fault.mayBeTrim;
  return trial.calls.find(call => counts(call) && call.atMm >= trial.onsetMm! - 0.5) ?? null;
}

export interface Detection {
  readonly fault: string;
  readonly severity: SeverityName;
  readonly trials: number;
  readonly called: Share;
  readonly within50: Share;
  readonly within75: Share;
  /** Of those that were called: weld and time from the onset. */
  readonly medianMm: number | null;
  readonly p90Mm: number | null;
  readonly medianS: number | null;
  readonly p90S: number | null;
  /** Rules that spoke first, with how often. */
  readonly first: readonly (readonly [Rule, number])[];
  /** Of those with an explanation: the right one first, and among the three. */
  readonly rightFirst: Share;
  readonly rightAmong: Share;
}

/** Causes of the first call that gives any. */
const explained = (trial: Trial, fault: TrustFault): readonly string[] | null => {
  const call = trial.calls.find(({ causes, atMm }) => causes.length > 0 && atMm >= trial.onsetMm! - 0.5);
  return call === undefined || firstCall(trial, fault) === null ? null : call.causes;
};

export function detectionOf(trials: readonly Trial[], fault: TrustFault, severity: SeverityName): Detection {
  const these = trials.filter(
    trial => trial.kind === 'fault' && trial.fault === fault.id && trial.severity === severity,
  );
  const found = these.map(trial => ({ trial, call: firstCall(trial, fault) }));
  const called = found.flatMap(({ trial, call }) =>
    call === null ? [] : [{ mm: call.atMm - trial.onsetMm!, s: call.atS - trial.onsetS!, rule: call.rule }],
  );
  const within = (mm: number): Share => shareOf(called.filter(one => one.mm <= mm).length, these.length);
  const lengths = called.map(({ mm }) => mm);
  const times = called.map(({ s }) => s);
  const causes = these.flatMap(trial => {
    const told = explained(trial, fault);
    return told === null ? [] : [told];
  });
  return {
    fault: fault.id,
    severity,
    trials: these.length,
    called: shareOf(called.length, these.length),
    within50: within(50),
    within75: within(75),
    medianMm: median(lengths),
    p90Mm: quantileOf(lengths, 0.9),
    medianS: median(times),
    p90S: quantileOf(times, 0.9),
    first: RULES.map(rule => [rule, called.filter(one => one.rule === rule).length] as const)
      .filter(([, count]) => count > 0)
      .sort((a, b) => b[1] - a[1]),
    rightFirst: shareWhere(causes, told => fault.right.includes(told[0]!)),
    rightAmong: shareWhere(causes, told => told.some(cause => fault.right.includes(cause))),
  };
}

export interface RampResult {
  readonly fault: string;
  readonly trials: number;
  /** Those in which a limit was in fact crossed. */
  readonly crossed: number;
  /** Of those: called before. */
  readonly before: Share;
  /** Weld between call and crossing, of those called before, mm. */
  readonly leadMm: number | null;
}

/** A ramp is called in time when any announced call comes before a value goes beyond its limit. */
export function rampOf(trials: readonly Trial[], fault: string): RampResult {
  const these = trials.filter(trial => trial.kind === 'ramp' && trial.fault === fault);
  const crossed = these.flatMap(trial => {
    const out = trial.calls.filter(call => call.rule === 'outOfRange' && call.sinceS! >= trial.onsetS!);
    const [first] = [...out].sort((a, b) => a.sinceS! - b.sinceS!);
    if (first === undefined) return [];
    const call = trial.calls.find(
      one => announced(one) && one.rule !== 'outOfRange' && one.atMm >= trial.onsetMm! - 0.5,
    );
    return [{ first, call, inTime: call !== undefined && call.atS < first.sinceS! }];
  });
  const lead = crossed.flatMap(({ first, call, inTime }) => (inTime ? [first.sinceMm! - call!.atMm] : []));
  return {
    fault,
    trials: these.length,
    crossed: crossed.length,
    before: shareWhere(crossed, ({ inTime }) => inTime),
    leadMm: median(lead),
  };
}
