/** Fault tests with a seed: one seed in `npm test`, the table's number of seeds in `npm run faults`. */
import { it } from 'vitest';
import { Pcg32 } from '../../../simulator/random/pcg32.ts';

/** True in `npm run faults`. */
export const WHOLE_TABLE = process.env['GIRTHLOG_FAULTS'] === 'table';
const FIRST_SEED = Number(process.env['GIRTHLOG_FAULT_SEED'] ?? 1);

export class FaultRandom {
  readonly seed: number;
  private readonly source: Pcg32;

  constructor(seed: number) {
    this.seed = seed;
    this.source = new Pcg32([0, seed], [0, 77]);
  }

  /** A whole number, `from` ≤ n ≤ `to`. */
  whole(from: number, to: number): number {
    return from + Math.floor(this.source.nextUnit() * (to - from + 1));
  }

  one<T>(choices: readonly T[]): T {
    return choices[this.whole(0, choices.length - 1)]!;
  }
}

export interface Volume {
  /** Seeds in `npm run faults`; `npm test` takes the first. */
  readonly seeds: number;
  readonly timeoutMs?: number;
}

/**
 * One test a seed. The seed stands in its name, so that a failure names it; `GIRTHLOG_FAULT_SEED=n` begins
 * with that one.
 */
export function faultTest(name: string, volume: Volume, task: (random: FaultRandom) => Promise<void>): void {
  const count = WHOLE_TABLE ? volume.seeds : 1;
  for (let i = 0; i < count; i++) {
    const seed = FIRST_SEED + i;
    it(`${name} (seed ${seed})`, () => task(new FaultRandom(seed)), volume.timeoutMs ?? 120_000);
  }
}
