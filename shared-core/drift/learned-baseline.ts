/**
 * What good windows look like, from the sums of several good passes:
 *
 *   S = F·W·F + C·B·C        W within passes, B between the means of passes, F and C diagonal
 *
 * F² = (1 + r)/(1 − r) with r the correlation of neighbouring windows: charts assume windows that know nothing of
 * each other, and sums of windows that do vary by F² more (the long-run variance of a first-order autoregression).
 * C² = (1 + 1/P)·F₀.₉₉₅(1, P − 1) on what B has beyond chance: 99.5 % of the means of further passes lie within one
 * standard deviation of the rig's mean (prediction interval of one more pass). So a pass that differs as passes of
 * this rig do is no drift. Our own choice, measured on simulated passes (docs/drift.md).
 */
import type { DriftBaseline, WindowStatistics } from '../messages/drift.ts';
import { fQuantile } from '../statistics/distributions.ts';

export const LEAST_PASSES = 3;
export const LEAST_WINDOWS = 60;
const MOST_CORRELATION = 0.8;
const BETWEEN_SHARE = 0.995;

/** Null with too few passes or windows. `floorOf`: the least standard deviation worth telling from none. */
export function learnedBaseline(
  passes: readonly WindowStatistics[],
  floorOf: (channel: WindowStatistics['channels'][number], mean: number) => number,
): DriftBaseline | null {
  const total = passes.reduce((sum, { windows }) => sum + windows, 0);
  if (passes.length < LEAST_PASSES || total < LEAST_WINDOWS) return null;
  const channels = passes[0]!.channels.filter(name => passes.every(pass => pass.channels.includes(name)));
  if (channels.length === 0) return null;
  const p = channels.length;
  const at = passes.map(pass => channels.map(name => pass.channels.indexOf(name)));
  const means = passes.map((pass, i) => at[i]!.map(from => pass.mean[from]!));
  const mean = channels.map(
    (_, j) => passes.reduce((sum, { windows }, i) => sum + windows * means[i]![j]!, 0) / total,
  );
  const freedom = passes.reduce((sum, { windows }) => sum + windows - 1, 0);
  const within = (i: number, j: number): number =>
    passes.reduce((sum, pass, q) => {
      const size = pass.channels.length;
      return sum + pass.coMoment[at[q]![i]! * size + at[q]![j]!]!;
    }, 0) / freedom;
  const between = (i: number, j: number): number =>
    means.reduce((sum, one) => sum + (one[i]! - mean[i]!) * (one[j]! - mean[j]!), 0) / (passes.length - 1);
  const pairs = passes.reduce((sum, pass) => sum + pass.pairs, 0);
  const perPass = total / passes.length;
  const margin = (1 + 1 / passes.length) * fQuantile(BETWEEN_SHARE, 1, passes.length - 1);
  const within2: number[] = [];
  const between2: number[] = [];
  channels.forEach((_, j) => {
    const variance = within(j, j);
    const lag = passes.reduce((sum, pass, q) => sum + pass.lagCoMoment[at[q]![j]!]!, 0);
    // An estimate from n values is low by about 1/n (Kendall, Biometrika 41, 1954).
    const r = variance > 0 && pairs > 0 ? lag / pairs / variance + 1 / perPass : 0;
    const kept = Math.min(MOST_CORRELATION, Math.max(0, r));
    const factor = (1 + kept) / (1 - kept);
    within2.push(factor);
    const raw = between(j, j);
    const beyondChance = Math.max(0, raw - (factor * variance) / perPass);
    between2.push(raw > 0 ? (margin * beyondChance) / raw : 0);
  });
  const covariance: number[] = [];
  for (let i = 0; i < p; i++) {
    for (let j = 0; j < p; j++) {
      const value =
        Math.sqrt(within2[i]! * within2[j]!) * within(i, j) +
        Math.sqrt(between2[i]! * between2[j]!) * between(i, j);
      covariance.push(i === j ? Math.max(value, floorOf(channels[i]!, mean[i]!) ** 2) : value);
    }
  }
  return {
    source: 'rig',
    passes: passes.length,
    windows: total,
    clockZone: passes[0]!.clockZone,
    channels,
    mean,
    standardDeviation: channels.map((_, j) => Math.sqrt(covariance[j * p + j]!)),
    covariance,
  };
}
