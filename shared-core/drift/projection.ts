/**
 * Does the trend of a channel that drifts meet a limit before the pass ends? Theil–Sen over the windows since the
 * onset, at most the last twelve; a trend only where most pairs of windows agree on its direction (Kendall's τ) and the
 * slope stands out of what windows scatter by.
 */
import type { ResolvedLimit } from '../procedure/limits.ts';
import { median } from '../statistics/median.ts';
import { crossingOf, type RobustLine, theilSen } from './theil-sen.ts';

const MOST_WINDOWS = 12;
const LEAST_WINDOWS = 5;
const LEAST_TAU = 0.6;
/** A slope must be this many of its standard deviations (our own choice). */
const LEAST_RISE = 4;

export interface TrendPoint {
  readonly mm: number;
  readonly value: number;
}

export interface Crossing {
  readonly limit: 'min' | 'max';
  readonly value: number;
  readonly atMm: number;
}

/**
 * The crossing ahead of `alongMm`, or null: no trend, no limit, past the end, or beyond the limit already. `noise`: standard
 * deviation of good windows about their trend, where it is known; 0 where not.
 */
export function projectedCrossing(
  points: readonly TrendPoint[],
  limit: Pick<ResolvedLimit, 'min' | 'max'>,
  alongMm: number,
  passEndMm: number,
  noise: number,
): Crossing | null {
  const recent = points.slice(-MOST_WINDOWS);
  if (recent.length < LEAST_WINDOWS || alongMm >= passEndMm) return null;
  const line = theilSen(
    recent.map(({ mm }) => mm),
    recent.map(({ value }) => value),
  );
  if (!line || Math.sign(line.slope) * tau(recent) < LEAST_TAU) return null;
  if (
    Math.abs(line.slope) * windowMm(recent) <
    LEAST_RISE * Math.max(noise, restOf(recent, line)) * slopeShare(recent)
  ) {
    return null;
  }
  const crossing = crossingOf(line, limit, alongMm, passEndMm);
  if (!crossing || crossing.at <= alongMm) return null;
  const value = crossing.limit === 'max' ? limit.max : limit.min;
  return value === null ? null : { limit: crossing.limit, value, atMm: crossing.at };
}

const windowMm = (points: readonly TrendPoint[]): number =>
  (points.at(-1)!.mm - points[0]!.mm) / (points.length - 1);

/** Standard deviation of a slope by windows, of n equally spaced windows with deviation 1: √(12/(n³ − n)). */
const slopeShare = ({ length: n }: readonly TrendPoint[]): number => Math.sqrt(12 / (n ** 3 - n));

/** Median distance from the line, as a standard deviation (× 1.4826, normal distribution). */
function restOf(points: readonly TrendPoint[], { slope, intercept }: RobustLine): number {
  const away = points.map(({ mm, value }) => Math.abs(value - intercept - slope * mm));
  return 1.4826 * (median(away) ?? 0);
}

/** Pairs that rise less pairs that fall, as a share of all (Kendall 1938). */
function tau(points: readonly TrendPoint[]): number {
  let sum = 0;
  let pairs = 0;
  for (let i = 0; i < points.length; i++) {
    for (let j = i + 1; j < points.length; j++) {
      sum += Math.sign(points[j]!.value - points[i]!.value);
      pairs++;
    }
  }
  return pairs === 0 ? 0 : sum / pairs;
}
