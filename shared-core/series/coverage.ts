import type { SampleChunk } from '../sample/chunk.ts';

/** A stretch of record time in which nothing was recorded, µs. */
export interface Gap {
  readonly fromUs: number;
  readonly toUs: number;
}

/** What one stored chunk covers of its stream's time. */
export interface Coverage {
  readonly firstUs: number;
  readonly lastUs: number;
  /** Its sample period, µs; null when nothing tells it. */
  readonly periodUs: number | null;
  /** Gaps between its own samples. */
  readonly gaps: readonly Gap[];
}

/** An interval longer than 5 sample periods, at least 0.25 s, is a gap (docs/engine.md). */
const GAP_PERIODS = 5;
const GAP_MIN_US = 250_000;
/** Fewer steps do not tell a sample period: one of them may be the gap itself. */
const TELLING_STEPS = 5;

export function gapThresholdUs(periodUs: number | null): number {
  return Math.max(GAP_MIN_US, GAP_PERIODS * (periodUs ?? 0));
}

/** The period is the median step; a chunk too short to tell has `earlierPeriodUs`, that of the chunk before. */
export function coverageOf(chunk: SampleChunk, earlierPeriodUs: number | null = null): Coverage {
  const { n, tUs } = chunk;
  const steps = new Float64Array(Math.max(0, n - 1));
  for (let i = 0; i + 1 < n; i++) steps[i] = tUs[i + 1]! - tUs[i]!;
  const ownUs = steps.length === 0 ? null : medianOf(steps);
  const periodUs = steps.length >= TELLING_STEPS ? ownUs : (earlierPeriodUs ?? ownUs);
  const limit = gapThresholdUs(periodUs);
  const gaps: Gap[] = [];
  for (let i = 0; i + 1 < n; i++) {
    if (tUs[i + 1]! - tUs[i]! > limit) gaps.push({ fromUs: tUs[i]!, toUs: tUs[i + 1]! });
  }
  return { firstUs: tUs[0]!, lastUs: tUs[n - 1]!, periodUs, gaps };
}

/** Of means that each say how long they count (record/reduce-record.ts): a gap is what none of them counts for. */
export function reducedCoverage({ n, tUs, lengthUs }: SampleChunk): Coverage {
  const endOf = (i: number): number => tUs[i]! + (lengthUs?.[i] ?? 0);
  const gaps: Gap[] = [];
  for (let i = 0; i + 1 < n; i++) {
    if (tUs[i + 1]! - endOf(i) > GAP_MIN_US) gaps.push({ fromUs: endOf(i), toUs: tUs[i + 1]! });
  }
  return { firstUs: tUs[0]!, lastUs: endOf(n - 1), periodUs: null, gaps };
}

function medianOf(values: Float64Array): number {
  const sorted = values.slice().sort();
  return sorted[sorted.length >> 1]!;
}

/**
 * The gaps inside fromUs…toUs. `coverages` are in time order and include, where they exist, the chunk before
 * the range and the one after it. Time after the last chunk is not a gap: nothing is known of it yet.
 */
export function gapsIn(coverages: readonly Coverage[], fromUs: number, toUs: number): Gap[] {
  const gaps: Gap[] = [];
  const add = (gap: Gap): void => {
    const clipped = { fromUs: Math.max(fromUs, gap.fromUs), toUs: Math.min(toUs, gap.toUs) };
    if (clipped.toUs > clipped.fromUs) gaps.push(clipped);
  };
  let lastUs: number | null = null;
  let periodUs: number | null = null;
  for (const coverage of coverages) {
    periodUs = coverage.periodUs ?? periodUs;
    if (lastUs === null) add({ fromUs: Number.NEGATIVE_INFINITY, toUs: coverage.firstUs });
    else if (coverage.firstUs - lastUs > gapThresholdUs(periodUs)) {
      add({ fromUs: lastUs, toUs: coverage.firstUs });
    }
    for (const gap of coverage.gaps) add(gap);
    lastUs = Math.max(lastUs ?? coverage.lastUs, coverage.lastUs);
  }
  return gaps;
}
