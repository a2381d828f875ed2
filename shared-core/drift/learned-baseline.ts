/**
 * What good windows look like, from the sums of several good passes (all by channel):
 *
 *   σ² = (1 + 2r)·W + B/2       W the variance of windows within their passes, B that of the passes' own levels
 *   B  = var(pass means) − F·W/n,   F = (1 + r)/(1 − r)
 *
 * r is the correlation of neighbouring windows: sums of a few of them vary by 1 + 2r, means of n by F/n, as if there were
 * that many fewer (first-order autoregression). A change is seen against the pass's own level (own-level.ts), so half of
 * what levels differ by is enough: measured, docs/drift.md. The covariance takes how channels go together from within the
 * passes only: a few passes say too little about their levels.
 */
import type { DriftBaseline, DriftChannel, WindowStatistics } from '../messages/drift.ts';

export const LEAST_PASSES = 3;
export const LEAST_WINDOWS = 60;
const MOST_CORRELATION = 0.8;
/** Variances of a few passes are often far too small: more of them is assumed (our own choice). */
const fewPasses = (passes: number): number => 1 + 6 / (passes - 1) ** 2;

/** Spreads within short pieces of weld have long upper tails: they count in wider deviations (measured, docs/trust.md). */
const SPREAD_WIDER = 1.3;
const isSpread = (name: DriftChannel): boolean => name === 'currentSpread' || name === 'voltageSpread';

/** Null with too few passes or windows. `floorOf`: the least standard deviation worth telling from none. */
export function learnedBaseline(
  passes: readonly WindowStatistics[],
  floorOf: (channel: WindowStatistics['channels'][number], mean: number) => number,
): DriftBaseline | null {
  const total = passes.reduce((sum, { windows }) => sum + windows, 0);
  const count = passes.length;
  if (count < LEAST_PASSES || total < LEAST_WINDOWS) return null;
  const channels = passes[0]!.channels.filter(name => passes.every(pass => pass.channels.includes(name)));
  if (channels.length === 0) return null;
  const at = passes.map(pass => channels.map(name => pass.channels.indexOf(name)));
  const sumOver = (of: (pass: WindowStatistics, index: readonly number[]) => number): number =>
    passes.reduce((sum, pass, i) => sum + of(pass, at[i]!), 0);
  const within = (i: number, j: number): number =>
    sumOver((pass, index) => pass.coMoment[index[i]! * pass.channels.length + index[j]!]!) / (total - count);
  const pairs = sumOver(pass => pass.pairs);
  const mean: number[] = [];
  const standardDeviation: number[] = [];
  const windowDeviation: number[] = [];
  const passDeviation: number[] = [];
  const correlation: number[] = [];
  channels.forEach((name, j) => {
    const centre = sumOver((pass, index) => pass.windows * pass.mean[index[j]!]!) / total;
    const variance = within(j, j);
    const lag = sumOver((pass, index) => pass.lagCoMoment[index[j]!]!);
    // An estimate from n windows is low by about 1/n (Kendall, Biometrika 41, 1954).
    const r = variance > 0 && pairs > 0 ? lag / pairs / variance + count / total : 0;
    const kept = Math.min(MOST_CORRELATION, Math.max(0, r));
    const levels = sumOver((pass, index) => (pass.mean[index[j]!]! - centre) ** 2) / (count - 1);
    const chance = (((1 + kept) / (1 - kept)) * variance * count) / total;
    const between = fewPasses(count) * Math.max(0, levels - chance);
    const floor = floorOf(name, centre);
    mean.push(centre);
    const wider = isSpread(name) ? SPREAD_WIDER : 1;
    standardDeviation.push(Math.max(floor, wider * Math.sqrt((1 + 2 * kept) * variance + between / 2)));
    windowDeviation.push(Math.sqrt(variance));
    passDeviation.push(Math.sqrt(between));
    correlation.push(kept);
  });
  const wider = (j: number): number => Math.sqrt(1 + 2 * correlation[j]!);
  return {
    source: 'rig',
    passes: count,
    windows: total,
    clockZone: passes[0]!.clockZone,
    channels,
    mean,
    standardDeviation,
    windowDeviation,
    passDeviation,
    correlation,
    covariance: channels.flatMap((_, i) =>
      channels.map((__, j) => (i === j ? standardDeviation[i]! ** 2 : wider(i) * wider(j) * within(i, j))),
    ),
  };
}
