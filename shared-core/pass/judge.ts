/**
 * A pass held against its procedure. Three levels: the pass average, the code's language; windows of weld
 * length; single excursions of the sliding mean. Inside but within the uncertainty of a limit is marginal.
 */
import { addSums, zeroSums } from '../arc/sums.ts';
import type { Deviation, Verdict } from '../messages/pass.ts';
import { inClockZone } from '../position/clock-position.ts';
import { beyond, type ResolvedLimit } from '../procedure/limits.ts';
import type { EngineSettings } from './engine-api.ts';
import type { OutOfRangeSpan } from './out-of-range-watch.ts';
import { type QuantityMeans, quantityMeans, type WeldGeometry } from './quantities.ts';
import { expandedRelative } from './uncertainty.ts';
import type { WeldWindow } from './weld-windows.ts';

export interface JudgedPass {
  readonly limits: readonly ResolvedLimit[];
  readonly means: QuantityMeans;
  readonly windows: readonly WeldWindow[];
  readonly spans: readonly OutOfRangeSpan[];
  readonly geometry: WeldGeometry;
  readonly uncertainty: EngineSettings['uncertainty'];
  /** Waveform-controlled procedure, energy from mean values only: that energy is not judged. */
  readonly energyMethodInvalid: boolean;
  readonly startUs: number;
  readonly endUs: number;
  readonly startMm: number | null;
  readonly endMm: number | null;
  /** Clock position of a distance along the side; null where no side is assigned. */
  readonly clockAt: (alongMm: number) => number | null;
  /** Record time of second 0 of the recording. */
  readonly originUs: number;
}

export interface Judgement {
  readonly verdicts: Verdict[];
  readonly deviations: Deviation[];
}

export function judgePass(pass: JudgedPass): Judgement {
  const verdicts: Verdict[] = [];
  const deviations: Deviation[] = [];
  for (const limit of pass.limits) {
    const why = notJudged(limit, pass);
    if (why !== null) verdicts.push(verdict(limit, { reason: why }));
    else if (limit.basis === 'pass') judgeAverage(limit, pass, verdicts, deviations);
    else if (limit.basis === 'window') judgeWindows(limit, pass, verdicts, deviations);
    else judgeExcursions(limit, pass, verdicts, deviations);
  }
  return { verdicts, deviations };
}

function notJudged(limit: ResolvedLimit, pass: JudgedPass): string | null {
  if (limit.min === null && limit.max === null) return 'the procedure gives no range for it';
  if (!(limit.quantity in pass.means)) return 'it is not measured on the stream: enter a reading';
  const isEnergy = limit.quantity === 'arcEnergy' || limit.quantity === 'heatInput';
  if (isEnergy && pass.energyMethodInvalid) {
    return 'the procedure is waveform controlled and the source gives mean values only';
  }
  if (limit.clockZone && pass.clockAt(0) === null)
    return 'the limit holds in a clock zone and no side is assigned';
  return null;
}

function judgeAverage(
  limit: ResolvedLimit,
  pass: JudgedPass,
  verdicts: Verdict[],
  deviations: Deviation[],
): void {
  const means = limit.clockZone ? zoneMeans(limit, pass) : pass.means;
  const value = meanFor(limit, means);
  if (value === null) {
    verdicts.push(verdict(limit, { reason: 'the value is unknown: see the reasons of the pass' }));
    return;
  }
  const state = stateOf(value, limit, pass);
  const judged = verdict(limit, { value, state, expandedUncertainty: expanded(value, limit, pass) });
  verdicts.push(judged);
  if (state !== 'out') return;
  deviations.push({
    ...judged,
    fromS: (pass.startUs - pass.originUs) / 1e6,
    toS: (pass.endUs - pass.originUs) / 1e6,
    fromMm: pass.startMm,
    toMm: pass.endMm,
    extreme: value,
  });
}

/** Means over the windows whose middle lies in the limit's clock zone, by length. */
function zoneMeans(limit: ResolvedLimit, pass: JudgedPass): QuantityMeans | null {
  const inZone = pass.windows.filter(window => windowApplies(limit, window, pass));
  if (inZone.length === 0) return null;
  const total = zeroSums();
  for (const window of inZone) addSums(total, window.sums);
  return quantityMeans(total, pass.geometry);
}

function judgeWindows(
  limit: ResolvedLimit,
  pass: JudgedPass,
  verdicts: Verdict[],
  deviations: Deviation[],
): void {
  let worst: { value: number; over: number } | null = null;
  let marginal = false;
  let outLengthMm = 0;
  const runs: WindowRun[] = [];
  let previous: WeldWindow | null = null;
  for (const window of pass.windows) {
    if (!windowApplies(limit, window, pass)) continue;
    const value = meanFor(limit, quantityMeans(window.sums, pass.geometry));
    const over = value === null ? null : beyond(value, limit);
    if (value === null || over === null) continue;
    if (!worst || over > worst.over) worst = { value, over };
    const state = stateOf(value, limit, pass);
    if (state === 'marginal') marginal = true;
    if (state === 'out') {
      outLengthMm += window.lengthMm;
      const run = runs.at(-1);
      if (run && run.last === previous) extendRun(run, window, value, over);
      else runs.push(newRun(window, value, over));
    }
    previous = window;
  }
  if (!worst) {
    verdicts.push(verdict(limit, { reason: 'no window of weld length has this value' }));
    return;
  }
  const state = runs.length > 0 ? 'out' : marginal ? 'marginal' : 'in';
  const longestRunMm = Math.max(0, ...runs.map(run => run.lengthMm));
  const expandedUncertainty = expanded(worst.value, limit, pass);
  verdicts.push(
    verdict(limit, { value: worst.value, state, expandedUncertainty, outLengthMm, longestRunMm }),
  );
  for (const run of runs) {
    deviations.push({
      ...verdict(limit, { value: run.weighted / run.lengthMm, state: 'out', expandedUncertainty }),
      outLengthMm: run.lengthMm,
      longestRunMm: run.lengthMm,
      fromS: (run.first.fromUs - pass.originUs) / 1e6,
      toS: (run.last.toUs - pass.originUs) / 1e6,
      fromMm: run.first.fromMm,
      toMm: run.last.toMm,
      extreme: run.extreme,
    });
  }
}

interface WindowRun {
  readonly first: WeldWindow;
  last: WeldWindow;
  lengthMm: number;
  /** Σ value × length. */
  weighted: number;
  extreme: number;
  over: number;
}

function newRun(window: WeldWindow, value: number, over: number): WindowRun {
  const { lengthMm } = window;
  return { first: window, last: window, lengthMm, weighted: value * lengthMm, extreme: value, over };
}

function extendRun(run: WindowRun, window: WeldWindow, value: number, over: number): void {
  run.last = window;
  run.lengthMm += window.lengthMm;
  run.weighted += value * window.lengthMm;
  if (over > run.over) {
    run.over = over;
    run.extreme = value;
  }
}

function windowApplies(limit: ResolvedLimit, window: WeldWindow, pass: JudgedPass): boolean {
  if (!limit.clockZone) return true;
  const clock = pass.clockAt((window.fromMm + window.toMm) / 2);
  return clock !== null && inClockZone(clock, limit.clockZone);
}

function judgeExcursions(
  limit: ResolvedLimit,
  pass: JudgedPass,
  verdicts: Verdict[],
  deviations: Deviation[],
): void {
  const value = meanFor(limit, pass.means);
  const spans = pass.spans.filter(
    span => span.limit.quantity === limit.quantity && span.limit.basis === 'instant',
  );
  if (value === null && spans.length === 0) {
    verdicts.push(verdict(limit, { reason: 'the value is unknown: see the reasons of the pass' }));
    return;
  }
  const lengths = spans.map(span => spanLengthMm(span));
  const known = lengths.filter(length => length !== null);
  const worst = spans.reduce<OutOfRangeSpan | null>(
    (most, span) =>
      most && (beyond(most.extreme, limit) ?? 0) >= (beyond(span.extreme, limit) ?? 0) ? most : span,
    null,
  );
  const shown = worst?.extreme ?? value!;
  verdicts.push(
    verdict(limit, {
      value: shown,
      state: spans.length > 0 ? 'out' : 'in',
      expandedUncertainty: expanded(shown, limit, pass),
      outLengthMm: known.length === lengths.length ? known.reduce((sum, length) => sum + length, 0) : null,
      longestRunMm: known.length === lengths.length ? Math.max(0, ...known) : null,
    }),
  );
  spans.forEach((span, i) => {
    deviations.push({
      ...verdict(limit, {
        value: span.extreme,
        state: 'out',
        expandedUncertainty: expanded(span.extreme, limit, pass),
      }),
      outLengthMm: lengths[i] ?? null,
      longestRunMm: lengths[i] ?? null,
      fromS: (span.fromUs - pass.originUs) / 1e6,
      toS: ((span.toUs ?? pass.endUs) - pass.originUs) / 1e6,
      fromMm: span.fromMm,
      toMm: span.toMm,
      extreme: span.extreme,
    });
  });
}

function spanLengthMm(span: OutOfRangeSpan): number | null {
  return span.fromMm === null || span.toMm === null ? null : Math.abs(span.toMm - span.fromMm);
}

function meanFor(limit: ResolvedLimit, means: QuantityMeans | null): number | null {
  return means?.[limit.quantity as keyof QuantityMeans] ?? null;
}

function expanded(value: number, limit: ResolvedLimit, pass: JudgedPass): number | null {
  const relative = expandedRelative(limit.quantity, pass.uncertainty);
  return relative === null ? null : Math.abs(value) * relative;
}

function stateOf(value: number, limit: ResolvedLimit, pass: JudgedPass): 'in' | 'marginal' | 'out' {
  const over = beyond(value, limit) ?? Number.NEGATIVE_INFINITY;
  const uncertainty = expanded(value, limit, pass);
  // An exact value is met when the difference cannot be told from the uncertainty.
  if (limit.min !== null && limit.min === limit.max) return over <= (uncertainty ?? 1e-9) ? 'in' : 'out';
  if (over > 0) return 'out';
  return uncertainty !== null && -over < uncertainty ? 'marginal' : 'in';
}

function verdict(limit: ResolvedLimit, found: Partial<Verdict>): Verdict {
  return {
    quantity: limit.quantity,
    basis: limit.basis,
    unit: limit.unit,
    min: limit.min,
    nominal: limit.nominal,
    max: limit.max,
    value: null,
    expandedUncertainty: null,
    state: 'notJudged',
    outLengthMm: null,
    longestRunMm: null,
    reason: null,
    ...found,
  };
}
