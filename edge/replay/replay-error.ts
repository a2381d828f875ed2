/** What stops a replay: one sentence for stderr and the exit code that goes with it. */
export class ReplayError extends Error {
  readonly exitCode: 3 | 4;

  constructor(message: string, exitCode: 3 | 4 = 3) {
    super(message);
    this.exitCode = exitCode;
  }
}
