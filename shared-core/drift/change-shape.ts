/**
 * When did it begin, at once or little by little? Of all places in the weld so far, the one from which a step (a new
 * level) or a ramp (a growing distance) leaves the least sum of squares; before it the level is the target's.
 * Least squares over the change point, two numbers fitted either way (Hinkley, Biometrika 57, 1970; 56, 1969).
 */
import type { Step } from './recent-steps.ts';

export interface ChangeShape {
  readonly shape: 'step' | 'ramp';
  readonly fromMm: number;
  readonly fromUs: number;
  /** Of a step its level, of a ramp where it stands now; distance from the target in the channel's unit. */
  readonly size: number;
}

/** Less weld than this since the onset, mm: nothing that goes so fast is a ramp. */
const LEAST_RAMP_MM = 30;
/** A ramp must leave less than a step by this many residual variances: half of it is the log of the likelihood ratio. */
const RAMP_MARGIN = 2;
/** Looked back before the sum of the chart began to grow, mm. */
const LOOK_BACK_MM = 150;

/** Null where fewer than two steps are known. `offset` is taken off each step's distance. */
export function changeShape(
  steps: readonly Step[],
  channel: number,
  chartFromMm: number,
  offset: number,
): ChangeShape | null {
  const these = steps.filter(
    step => step.toMm > chartFromMm - LOOK_BACK_MM && !Number.isNaN(step.off[channel]!),
  );
  const n = these.length;
  if (n < 2) return null;
  const y = these.map(step => step.off[channel]! - offset);
  const x = these.map(step => (step.fromMm + step.toMm) / 2);
  const last = these[n - 1]!.toMm;
  let step = { at: 0, sum: Number.POSITIVE_INFINITY, size: 0 };
  let ramp = step;
  let before = 0;
  for (let at = 0; at < n - 1; at++) {
    const from = these[at]!.fromMm;
    let sum = 0;
    let squares = 0;
    let product = 0;
    let distance = 0;
    for (let i = at; i < n; i++) {
      sum += y[i]!;
      squares += y[i]! * y[i]!;
      product += y[i]! * (x[i]! - from);
      distance += (x[i]! - from) ** 2;
    }
    const stepSum = before + squares - (sum * sum) / (n - at);
    if (stepSum < step.sum) step = { at, sum: stepSum, size: sum / (n - at) };
    const rampSum = before + squares - (product * product) / distance;
    if (last - from >= LEAST_RAMP_MM && rampSum < ramp.sum) {
      ramp = { at, sum: rampSum, size: (product / distance) * (last - from) };
    }
    before += y[at]! * y[at]!;
  }
  const variance = Math.min(step.sum, ramp.sum) / Math.max(1, n - 2);
  const isRamp = step.sum - ramp.sum > RAMP_MARGIN * variance;
  const { at, size } = isRamp ? ramp : step;
  return { shape: isRamp ? 'ramp' : 'step', fromMm: these[at]!.fromMm, fromUs: these[at]!.fromUs, size };
}
