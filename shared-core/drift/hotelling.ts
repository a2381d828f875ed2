import { chiSquaredQuantile, fQuantile } from '../statistics/distributions.ts';
import { inverseOfPositiveDefinite } from '../statistics/linear-algebra.ts';

/** What good windows look like in p channels together. Any units, one per channel; T² does not depend on them. */
export interface Baseline {
  readonly channels: number;
  /** Rows it was learned from. */
  readonly count: number;
  readonly mean: Float64Array;
  readonly standardDeviation: Float64Array;
  /** Inverse of the covariance with n − 1, row by row. */
  readonly inverseCovariance: Float64Array;
}

export type BaselineResult =
  | { readonly kind: 'baseline'; readonly baseline: Baseline }
  | { readonly kind: 'notDerivable'; readonly text: string };

const no = (text: string): BaselineResult => ({ kind: 'notDerivable', text });

/**
 * Mean and covariance (n − 1) of rows of p channels. Not derivable with too few rows, a value that is not finite, a channel that never
 * varied, or channels that are multiples of each other.
 */
export function learnBaseline(rows: readonly ArrayLike<number>[], names: readonly string[]): BaselineResult {
  const p = names.length;
  const n = rows.length;
  if (p === 0) return no('no channel to learn from');
  if (n < p + 2) return no(`${n} windows are too few for ${p} channels: at least ${p + 2}`);
  const mean = new Float64Array(p);
  rows.forEach((row, index) => {
    for (let j = 0; j < p; j++) mean[j] = mean[j]! + (row[j]! - mean[j]!) / (index + 1);
  });
  const covariance = new Float64Array(p * p);
  for (const row of rows) {
    for (let i = 0; i < p; i++) {
      for (let j = 0; j <= i; j++) {
        covariance[i * p + j] =
          covariance[i * p + j]! + ((row[i]! - mean[i]!) * (row[j]! - mean[j]!)) / (n - 1);
      }
    }
  }
  const standardDeviation = new Float64Array(p);
  for (let i = 0; i < p; i++) {
    for (let j = 0; j < i; j++) covariance[j * p + i] = covariance[i * p + j]!;
    standardDeviation[i] = Math.sqrt(covariance[i * p + i]!);
    if (!Number.isFinite(standardDeviation[i])) return no(`${names[i]} has a value that is not finite`);
    if (standardDeviation[i] === 0) return no(`${names[i]} never varied`);
  }
  const inverse = inverseOfCovariance(covariance, standardDeviation);
  if (inverse === null) return no(`${names.join(', ')}: one follows exactly from the others`);
  return {
    kind: 'baseline',
    baseline: { channels: p, count: n, mean, standardDeviation, inverseCovariance: inverse },
  };
}

/** By way of the correlations, so that the test for a hidden dependence does not depend on the units. */
function inverseOfCovariance(covariance: Float64Array, sd: Float64Array): Float64Array | null {
  const p = sd.length;
  const scaled = covariance.map((value, at) => value / (sd[Math.floor(at / p)]! * sd[at % p]!));
  return (
    inverseOfPositiveDefinite(scaled, p)?.map(
      (value, at) => value / (sd[Math.floor(at / p)]! * sd[at % p]!),
    ) ?? null
  );
}

/**
 * Hotelling's T² = (x − x̄)′·S⁻¹·(x − x̄), no unit. Source: Hotelling 1947; Johnson & Wichern, Applied Multivariate Statistical Analysis 5.6.
 * `x` holds the baseline's channels in its order. NaN where a value is.
 */
export function tSquared({ channels: p, mean, inverseCovariance }: Baseline, x: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < p; i++) {
    let product = 0;
    for (let j = 0; j < p; j++) product += inverseCovariance[i * p + j]! * (x[j]! - mean[j]!);
    sum += product * (x[i]! - mean[i]!);
  }
  return sum;
}

export interface Contribution {
  /** Index of the channel in the baseline. */
  readonly channel: number;
  /** How much smaller T² would be without this channel: its part given all the others. */
  readonly amount: number;
  /** How far the channel alone lies from its mean, in standard deviations, signed. */
  readonly deviations: number;
}

/**
 * Each channel's conditional part of T², largest first: T² − T² without it = (S⁻¹·d)ⱼ²/(S⁻¹)ⱼⱼ.
 * Source: Mason, Young & Tracy, J. Quality Technology 27 (1995), the conditional terms; the closed form is the block inverse. They do not sum
 * to T² where channels go together.
 */
export function contributions(baseline: Baseline, x: ArrayLike<number>): Contribution[] {
  const { channels: p, mean, inverseCovariance, standardDeviation } = baseline;
  const found: Contribution[] = [];
  for (let i = 0; i < p; i++) {
    let product = 0;
    for (let j = 0; j < p; j++) product += inverseCovariance[i * p + j]! * (x[j]! - mean[j]!);
    found.push({
      channel: i,
      amount: (product * product) / inverseCovariance[i * p + i]!,
      deviations: (x[i]! - mean[i]!) / standardDeviation[i]!,
    });
  }
  return found.sort((a, b) => b.amount - a.amount);
}

/** T² that `confidence` of good windows stay below when mean and covariance are known: χ² with p degrees of freedom. */
export const tSquaredLimitKnown = (channels: number, confidence: number): number =>
  chiSquaredQuantile(confidence, channels);

/**
 * The same for a new window when they were learned from `count` windows: p(n + 1)(n − 1)/(n(n − p))·F(p, n − p).
 * Source: Johnson & Wichern 5.6, control ellipse for a future observation. Higher than χ² until n is large.
 */
export const tSquaredLimit = (
  { channels: p, count: n }: Pick<Baseline, 'channels' | 'count'>,
  confidence: number,
): number => ((p * (n + 1) * (n - 1)) / (n * (n - p))) * fQuantile(confidence, p, n - p);
