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

/** The newest weld in which a jump is looked for, what must lie on either side of it, mm, and how much better than a line it must fit. */
const JUMP_IN_MM = 90;
const JUMP_SIDE_MM = 25;
const JUMP_SHARE = 0.35;

/**
 * A jump from one level to another in the newest weld, whatever the level was before: what somebody's hand does to a
 * channel that had been wandering. Null where a straight line fits as well.
 */
export function jumpOf(steps: readonly Step[], channel: number, offset: number): ChangeShape | null {
  const last = steps.at(-1)?.toMm ?? 0;
  const these = steps.filter(step => step.fromMm > last - JUMP_IN_MM && !Number.isNaN(step.off[channel]!));
  const n = these.length;
  const y = these.map(step => step.off[channel]! - offset);
  const x = these.map(step => (step.fromMm + step.toMm) / 2);
  let best = { at: 0, left: Number.POSITIVE_INFINITY, size: 0 };
  for (let at = 1; at < n; at++) {
    const from = these[at]!.fromMm;
    if (from - these[0]!.fromMm < JUMP_SIDE_MM || last - from < JUMP_SIDE_MM) continue;
    const after = squaresAbout(y.slice(at));
    const left = squaresAbout(y.slice(0, at)).sum + after.sum;
    if (left < best.left) best = { at, left, size: after.mean };
  }
  if (best.at === 0 || best.left > JUMP_SHARE * squaresAboutLine(x, y)) return null;
  const { fromMm, fromUs } = these[best.at]!;
  return { shape: 'step', fromMm, fromUs, size: best.size };
}

function squaresAbout(y: readonly number[]): { readonly mean: number; readonly sum: number } {
  const mean = y.reduce((sum, value) => sum + value, 0) / y.length;
  return { mean, sum: y.reduce((sum, value) => sum + (value - mean) ** 2, 0) };
}

function squaresAboutLine(x: readonly number[], y: readonly number[]): number {
  const { mean: middle, sum: across } = squaresAbout(x);
  const { mean, sum } = squaresAbout(y);
  const product = x.reduce((total, value, i) => total + (value - middle) * (y[i]! - mean), 0);
  return sum - (product * product) / across;
}
