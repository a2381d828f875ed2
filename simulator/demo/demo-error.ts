/** The demo cannot go on; `message` is one sentence for a person. */
export class DemoError extends Error {
  readonly exitCode: number;

  constructor(message: string, exitCode: number) {
    super(message);
    this.exitCode = exitCode;
  }
}
