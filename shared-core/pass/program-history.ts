import type { SampleChunk } from '../sample/chunk.ts';

/** The device gave one number, at least every so often, from the first of these times to the last. */
interface ProgramRun {
  readonly program: number;
  readonly fromUs: number;
  lastUs: number;
}

/** A number not repeated for this long is no longer known, µs. */
const FORGOTTEN_AFTER_US = 2_000_000;
/** Nobody asks further back than this, µs: 50 mm at the slowest travel that counts as moving. */
const KEPT_US = 120_000_000;

/**
 * The program numbers a device reported, by record time. Samples go in before what is computed from them
 * asks, so that an answer does not depend on how they arrived.
 */
export class ProgramHistory {
  private runs: ProgramRun[] = [];

  /** `settledUs`: record time up to which everything has been asked. */
  add({ n, tUs, columns }: SampleChunk, settledUs: number): void {
    const { program } = columns;
    if (!program) return;
    const before = this.runs.findLastIndex(({ lastUs }) => lastUs < settledUs - KEPT_US);
    if (before > 0) this.runs.splice(0, before);
    let run = this.runs.at(-1);
    for (let i = 0; i < n; i++) {
      const value = program[i]!;
      if (Number.isNaN(value)) continue;
      const t = tUs[i]!;
      if (run && run.program === value && t - run.lastUs <= FORGOTTEN_AFTER_US) run.lastUs = t;
      else {
        run = { program: value, fromUs: t, lastUs: t };
        this.runs.push(run);
      }
    }
  }

  /** The one number in force from `fromUs` to `toUs`; null where none is known or it changed. */
  during(fromUs: number, toUs: number): number | null {
    const within = this.runs.filter(run => run.fromUs > fromUs && run.fromUs < toUs);
    const before = this.runs.findLast(run => run.fromUs <= fromUs);
    if (before && before.lastUs >= fromUs - FORGOTTEN_AFTER_US) within.unshift(before);
    const [first] = within;
    return first && within.every(({ program }) => program === first.program) ? first.program : null;
  }
}
