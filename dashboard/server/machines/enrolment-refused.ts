/** Why a board was not enrolled. Whoever asks is not told more about a code than that it does not do. */
export type EnrolmentProblem = 'codeUnknown' | 'codeUsed' | 'codeEnded' | 'codeOfAnotherRig' | 'proofWrong';

export class EnrolmentRefused extends Error {
  readonly problem: EnrolmentProblem;

  constructor(problem: EnrolmentProblem) {
    super(problem);
    this.problem = problem;
  }
}
