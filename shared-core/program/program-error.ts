import { short } from './short.ts';

/** Exit codes of every program here; docs/edge.md and docs/dashboard.md list them for people. */
export const EXIT = {
  ok: 0,
  usage: 2,
  configuration: 3,
  nothingFound: 4,
  device: 5,
  network: 6,
  verification: 7,
  integrity: 8,
  /** sysexits EX_SOFTWARE: an error nobody expected; a supervisor starts the program again. */
  internal: 70,
  /** sysexits EX_TEMPFAIL: the store failed under us; a supervisor starts the program again. */
  storeFailed: 75,
} as const;

/** A sentence longer than this quotes a file, and nobody reads on. */
const MOST_LETTERS = 1000;

/** An end that a person can read: one sentence and the exit code, no stack trace. */
export class ProgramError extends Error {
  readonly exitCode: number;

  constructor(message: string, exitCode: number) {
    super(short(message, MOST_LETTERS));
    this.name = 'ProgramError';
    this.exitCode = exitCode;
  }
}
