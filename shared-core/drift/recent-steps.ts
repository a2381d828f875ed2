import { CHANNEL_COUNT } from './drift-values.ts';

/** The newest steps of weld, each channel's distance from its target in the channel's unit; NaN: not known. */
export interface Step {
  readonly fromUs: number;
  readonly toUs: number;
  readonly fromMm: number;
  readonly toMm: number;
  /** Raw values. */
  readonly values: Float64Array;
  /** Values less what good welds have there; set on the way in. */
  readonly off: Float64Array;
}

/** About half a metre of weld: what an onset is looked for in. */
const KEPT = 100;

export class RecentSteps {
  readonly steps: Step[] = [];

  add(step: Step): void {
    this.steps.push(step);
    if (this.steps.length > KEPT) this.steps.shift();
  }

  /** Mean of a channel's raw values by length from `fromMm` to `toMm`; null where none is known. */
  meanBetween(channel: number, fromMm: number, toMm: number): number | null {
    let length = 0;
    let sum = 0;
    for (const step of this.steps) {
      const value = step.values[channel]!;
      if (step.fromMm < fromMm || step.toMm > toMm || Number.isNaN(value)) continue;
      const mm = step.toMm - step.fromMm;
      length += mm;
      sum += value * mm;
    }
    return length > 0 ? sum / length : null;
  }
}

export const nanRow = (): Float64Array => new Float64Array(CHANNEL_COUNT).fill(Number.NaN);
