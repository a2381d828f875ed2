import { expect } from 'vitest';
import { tempDir } from '../support/temp-dir.ts';
import { MOST_GROWTH_BYTES, runTarget } from './run-target.ts';
import type { FuzzTarget } from './target.ts';

const SEED = 20_261_127;

/** A share of the cases of `npm run fuzz`, the same every time, and all that must hold of them. */
export async function holdShare(target: FuzzTarget, share: number): Promise<void> {
  const count = Math.ceil(target.wholeRun * share);
  const outcome = await runTarget(target, { scratch: tempDir(), seed: SEED, count });
  expect(outcome.findings).toEqual([]);
  expect(outcome.tried).toBe(count);
  expect(outcome.heapGrowthBytes).toBeLessThan(MOST_GROWTH_BYTES);
  // Cases that all end alike try nothing.
  expect(Object.keys(outcome.counts).length).toBeGreaterThan(1);
}
