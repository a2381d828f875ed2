/** Exit codes of the dashboard; docs/dashboard.md lists them for people. */
export const EXIT = {
  usage: 2,
  configuration: 3,
  network: 6,
  /** The store failed under a running dashboard: a supervisor should start it again. */
  storeFailed: 75,
} as const;

/** An end with one sentence for a person and an exit code; anything else is a bug. */
export class ProgramError extends Error {
  readonly exitCode: number;

  constructor(message: string, exitCode: number) {
    super(message);
    this.name = 'ProgramError';
    this.exitCode = exitCode;
  }
}
