/** One thing that can break, and the tests that break it. */
export interface FaultRow {
  /** What breaks, in words. */
  readonly fault: string;
  readonly how: string;
  /** What must hold. */
  readonly holds: string;
  /** Test files with the names of their tests (a beginning is enough). */
  readonly tests: readonly (readonly [file: string, name: string])[];
  /** In `npm test`, and in `npm run faults`. */
  readonly once: string;
  readonly all: string;
  /** What is not covered, and why; null where all of it is. */
  readonly open: string | null;
}

export type FaultSection = readonly [title: string, rows: readonly FaultRow[]];
