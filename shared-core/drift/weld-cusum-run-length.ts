import { type Answer, value } from '../calculations/answer.ts';
import { cusumRunLength } from './cusum-run-length.ts';

/** Steps of about 5 mm in a window of 25 mm. */
const STEPS = 5;
/** As far as the quadrature goes. */
const WIDEST = 30;

/**
 * Average run length, in windows, of the chart in weld length (weld-cusum.ts): it looks at every step, so it calls sooner, and falsely more
 * often, than the tabular form on whole windows. Of n steps a window, each varies by √n as much as the window, so in its own deviations the
 * chart has k/√n, h·√n and shift/√n, and n times as many looks. For independent normal values; wide h with fewer steps, so that the
 * interval stays within what can be computed. Source: scaling of Page's CUSUM; checked by simulation. Errors: as for cusumRunLength.
 */
export function weldCusumRunLength(design: {
  readonly k: number;
  readonly h: number;
  readonly shift: number;
}): Answer {
  const { k, h, shift } = design;
  const steps = Math.max(1, Math.min(STEPS, Math.floor((WIDEST / h) ** 2)));
  const root = Math.sqrt(steps);
  const answer = cusumRunLength({ k: k / root, h: h * root, shift: shift / root });
  return answer.kind === 'value' ? value(answer.value / steps) : answer;
}
