/** Windows of 25 mm of true weld, straight from the frames: what good windows spread by, apart from the engine that is measured. */
import type { WeldedPass } from '../simulated-pass.ts';
import type { MainChannel } from './trust-faults.ts';

export const WINDOW_MM = 25;
/** The start of an arc is no window. */
const SETTLE_MM = 25;
/** Samples in a burning arc, A. */
const BURNING_A = 30;

export const MAIN_CHANNELS: readonly MainChannel[] = [
  'weldingCurrent',
  'arcVoltage',
  'wireFeedSpeed',
  'travelSpeed',
  'gasFlow',
  'currentSpread',
];

/** One row a whole window up to `toMm`: a value for each of MAIN_CHANNELS. A window with a stop in it is left out. */
export function referenceWindows(pass: WeldedPass, toMm = Number.POSITIVE_INFINITY): number[][] {
  const { chunk, alongMm } = pass;
  const { weldingCurrent, arcVoltage, wireFeedSpeed, travelSpeed, gasFlow } = chunk.columns;
  const columns = [weldingCurrent!, arcVoltage!, wireFeedSpeed!, travelSpeed!, gasFlow!];
  const rows: number[][] = [];
  let sums = new Float64Array(columns.length + 1);
  let n = 0;
  let broken = false;
  let startMm = SETTLE_MM;
  for (let i = 0; i < chunk.n; i++) {
    const along = alongMm[i]!;
    if (along < SETTLE_MM) continue;
    if (along > toMm) break;
    if (along >= startMm + WINDOW_MM) {
      if (!broken && n > 1) rows.push(rowOf(sums, n));
      sums = new Float64Array(columns.length + 1);
      n = 0;
      broken = false;
      startMm += WINDOW_MM;
    }
    if (weldingCurrent![i]! < BURNING_A || travelSpeed![i]! < 0.5) {
      // A standing or dead arc: the window and what follows a restart are no good ones.
      broken = true;
      continue;
    }
    columns.forEach((column, j) => {
      sums[j] = sums[j]! + column[i]!;
    });
    sums[columns.length] = sums[columns.length]! + weldingCurrent![i]! ** 2;
    n++;
  }
  return rows;
}

function rowOf(sums: Float64Array, n: number): number[] {
  const means = Array.from(sums.subarray(0, sums.length - 1), sum => sum / n);
  const square = sums[sums.length - 1]! / n - means[0]! ** 2;
  return [...means, Math.sqrt(Math.max(0, square))];
}

/** Mean of each channel over the windows. */
export function meansOf(rows: readonly (readonly number[])[]): number[] {
  return MAIN_CHANNELS.map((_, j) => rows.reduce((sum, row) => sum + row[j]!, 0) / rows.length);
}

export interface GoodSpread {
  readonly mean: readonly number[];
  /** Of all windows together, from pass to pass, and inside a pass. */
  readonly sigma: readonly number[];
  readonly between: readonly number[];
  readonly within: readonly number[];
  /** Correlation of neighbouring windows: of all, and inside a pass about its own mean. */
  readonly lagOne: readonly number[];
  readonly lagOneWithin: readonly number[];
  readonly passes: number;
  readonly windows: number;
}

/** Spread and correlation of the windows of good passes, one list of rows a pass. */
export function goodSpread(passes: readonly (readonly (readonly number[])[])[]): GoodSpread {
  const all = passes.flat();
  const mean = meansOf(all);
  const own = passes.map(meansOf);
  const over = (j: number, about: (pass: number) => number, lag: 0 | 1): number => {
    let sum = 0;
    let n = 0;
    passes.forEach((rows, pass) => {
      for (let i = lag; i < rows.length; i++) {
        sum += (rows[i]![j]! - about(pass)) * (rows[i - lag]![j]! - about(pass));
        n++;
      }
    });
    return sum / n;
  };
  const channels = MAIN_CHANNELS.map((_, j) => j);
  const total = channels.map(j => over(j, () => mean[j]!, 0));
  const inside = channels.map(j => over(j, pass => own[pass]![j]!, 0));
  return {
    mean,
    sigma: total.map(Math.sqrt),
    between: channels.map(j => Math.sqrt(Math.max(0, total[j]! - inside[j]!))),
    within: inside.map(Math.sqrt),
    lagOne: channels.map(j => over(j, () => mean[j]!, 1) / total[j]!),
    lagOneWithin: channels.map(j => over(j, pass => own[pass]![j]!, 1) / inside[j]!),
    passes: passes.length,
    windows: all.length,
  };
}
