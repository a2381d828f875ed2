import type { ReviewPass } from '#core/messages/api-review';

export type VerdictWord = 'out' | 'notJudged' | 'marginal' | 'in';

/** The worst of what counts now. A limit that could not be judged is worse than one that is only close. */
export function worstState({ judgements }: Pick<ReviewPass, 'judgements'>): VerdictWord {
  const states = (judgements.at(-1)?.verdicts ?? []).map(({ state }) => state);
  for (const state of ['out', 'notJudged', 'marginal', 'in'] as const)
    if (states.includes(state)) return state;
  return 'notJudged';
}
