/** The newest stretch in which the carriage travelled, or the wire fed, without an arc: a verification run as the edge saw it. */
import type { SampleChunk } from '../sample/chunk.ts';

export interface RunWithoutArc {
  readonly startUs: number;
  readonly endUs: number;
  readonly runS: number;
  readonly meanMmPerS: number;
}

export interface RunRules {
  /** At or above this current an arc may burn, A. */
  readonly arcA: number;
  /** Slower is standing still, mm/s. */
  readonly movingMmPerS: number;
  readonly minRunS: number;
  /** A step longer than this is a gap and ends a run, s. */
  readonly gapS: number;
}

/** 15 A ends an arc and 0.5 mm/s is standing, as in the pass engine. */
export const RUN_RULES: RunRules = { arcA: 15, movingMmPerS: 0.5, minRunS: 3, gapS: 0.5 };

/**
 * Samples in time order. Speed comes from the speed channel, else from its cumulative length. The mean is length over
 * time, each sample held until the next. Null where there is no such run.
 */
export function lastRunWithoutArc(
  chunk: SampleChunk,
  channel: 'travelSpeed' | 'wireFeedSpeed',
  rules: RunRules = RUN_RULES,
): RunWithoutArc | null {
  const speed = speedColumn(chunk, channel);
  const current = chunk.columns.weldingCurrent;
  if (!speed || !current) return null;
  let end = chunk.n - 1;
  let start = end;
  let lengthMm = 0;
  const runOf = (): RunWithoutArc | null => {
    const runS = (chunk.tUs[end]! - chunk.tUs[start]!) / 1e6;
    if (runS < rules.minRunS) return null;
    return { startUs: chunk.tUs[start]!, endUs: chunk.tUs[end]!, runS, meanMmPerS: lengthMm / runS };
  };
  // From the newest step backwards: the first run that is long enough is the one asked for.
  for (let i = chunk.n - 2; i >= 0; i--) {
    const stepS = (chunk.tUs[i + 1]! - chunk.tUs[i]!) / 1e6;
    const isMoving =
      speed[i]! >= rules.movingMmPerS && Math.abs(current[i]!) < rules.arcA && stepS <= rules.gapS;
    if (isMoving) {
      start = i;
      lengthMm += speed[i]! * stepS;
      continue;
    }
    const run = runOf();
    if (run) return run;
    end = i;
    start = i;
    lengthMm = 0;
  }
  return runOf();
}

function speedColumn(chunk: SampleChunk, channel: 'travelSpeed' | 'wireFeedSpeed'): Float64Array | undefined {
  const direct = chunk.columns[channel];
  if (direct) return direct;
  const length = chunk.columns[channel === 'travelSpeed' ? 'travelDistance' : 'wireLength'];
  if (!length) return undefined;
  return Float64Array.from({ length: chunk.n }, (_, i) => {
    const stepS = ((chunk.tUs[i + 1] ?? Number.NaN) - chunk.tUs[i]!) / 1e6;
    return ((length[i + 1] ?? Number.NaN) - length[i]!) / stepS;
  });
}
