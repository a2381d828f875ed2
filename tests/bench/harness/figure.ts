/** What one benchmark reports, and what a benchmark is. */
import type { Spread } from './measure.ts';

export type Verdict = 'met' | 'missed' | 'not measured' | 'for information' | 'failed';

/** One line of the table: a subject against its baseline, measured in the same run. */
export interface Figure {
  readonly id: string;
  readonly what: string;
  /** As people read it, such as "≤ 1.10×"; "none" where there is only something to know. */
  readonly goal: string;
  /** Over the pairs of the run; null where there is no baseline here. */
  readonly ratio: Spread | null;
  readonly subject: string;
  readonly baseline: string;
  readonly verdict: Verdict;
  /** One sentence: why not measured, why missed, what else was seen. */
  readonly note?: string;
  readonly table?: CountTable;
}

/** Counts that one line cannot tell. */
export interface CountTable {
  readonly caption: string;
  readonly head: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

export interface Benchmark {
  readonly id: string;
  readonly title: string;
  /** Two or three sentences for docs/benchmarks.md. */
  readonly how: string;
  /** Only with --full: it takes long, or stands beside the figures that every run has to show. */
  readonly fullOnly?: boolean;
  readonly run: (context: BenchContext) => Promise<Figure[]>;
}

export interface BenchContext {
  /** Folder of the built programs. */
  readonly dist: string;
  /** Folder of the baselines in C and Python. */
  readonly baselines: string;
  /** A folder of this run's own on a disk, removed afterwards. */
  readonly scratch: string;
  /** With --full: more passes where figures come from counting simulated ones, longer backlogs. */
  readonly full: boolean;
}

export const atMost = (ratio: Spread, limit: number): Verdict => (ratio.median <= limit ? 'met' : 'missed');
export const atLeast = (ratio: Spread, limit: number): Verdict => (ratio.median >= limit ? 'met' : 'missed');

/** A line for what could not be measured here, with the reason. */
export function notMeasured(id: string, what: string, goal: string, note: string): Figure {
  return { id, what, goal, ratio: null, subject: '–', baseline: '–', verdict: 'not measured', note };
}

/** A line for a benchmark that came to no result: something was lost, or a program did not start. */
export function failed({ id, title }: Benchmark, error: unknown): Figure {
  const note = error instanceof Error ? error.message : String(error);
  return { id, what: title, goal: '–', ratio: null, subject: '–', baseline: '–', verdict: 'failed', note };
}
