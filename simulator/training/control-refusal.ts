import type { ControlProblem } from '#core/training/control';

/** A request that is refused: a code, one sentence and an HTTP status. Nothing has changed. */
export class ControlRefusal extends Error {
  readonly code: ControlProblem;
  readonly status: number;

  constructor(status: number, code: ControlProblem, sentence: string) {
    super(sentence);
    this.status = status;
    this.code = code;
  }
}
