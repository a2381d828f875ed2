import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { Dice } from './dice.ts';
import type { FuzzTarget } from './target.ts';

export interface Finding {
  readonly case: number;
  readonly error: string;
}

export interface FuzzOutcome {
  readonly target: string;
  readonly cases: string;
  readonly seed: number;
  readonly tried: number;
  /** What became of the cases, by name. */
  readonly counts: Readonly<Record<string, number>>;
  readonly findings: readonly Finding[];
  /** Of the heap after collection, last case less the end of the first tenth. */
  readonly heapGrowthBytes: number;
  /** The longest any case took, ms. */
  readonly slowestMs: number;
  readonly seconds: number;
}

/** What a run may hold more at its end than after its first tenth. */
export const MOST_GROWTH_BYTES = 20_000_000;
/** After so many findings the rest would say nothing new. */
const ENOUGH = 10;

export interface FuzzRun {
  readonly scratch: string;
  readonly seed: number;
  readonly count: number;
  /** One case only: to see a finding again. */
  readonly only?: number | undefined;
}

export async function runTarget(target: FuzzTarget, run: FuzzRun): Promise<FuzzOutcome> {
  const { seed, count, only } = run;
  const scratch = join(run.scratch, target.name.replaceAll(/[^a-z0-9]+/gi, '-'));
  mkdirSync(scratch, { recursive: true });
  const subject = await target.open(scratch);
  const counts: Record<string, number> = {};
  const findings: Finding[] = [];
  const startedMs = performance.now();
  let slowestMs = 0;
  let heapBytes: number | null = null;
  let tried = 0;
  try {
    for (let n = only ?? 0; n < (only === undefined ? count : only + 1); n++) {
      if (n === Math.floor(count / 10)) heapBytes = usedHeap();
      const caseMs = performance.now();
      try {
        const outcome = await subject.tryOne(new Dice(seed, n));
        counts[outcome] = (counts[outcome] ?? 0) + 1;
      } catch (error) {
        findings.push({
          case: n,
          error: error instanceof Error ? (error.stack ?? error.message) : String(error),
        });
        if (findings.length >= ENOUGH) break;
      }
      tried++;
      slowestMs = Math.max(slowestMs, performance.now() - caseMs);
    }
    try {
      await subject.stillWorks();
    } catch (error) {
      findings.push({ case: -1, error: `good input is no longer taken: ${String(error)}` });
    }
    const heapGrowthBytes = heapBytes === null ? 0 : usedHeap() - heapBytes;
    const seconds = (performance.now() - startedMs) / 1000;
    const { name, cases } = target;
    return { target: name, cases, seed, tried, counts, findings, heapGrowthBytes, slowestMs, seconds };
  } finally {
    await subject.close();
  }
}

/** After a collection, so that what is only not yet collected does not count. */
function usedHeap(): number {
  setFlagsFromString('--expose-gc');
  (runInNewContext('gc') as () => void)();
  const { heapUsed, external, arrayBuffers } = process.memoryUsage();
  return heapUsed + Math.max(external, arrayBuffers);
}
