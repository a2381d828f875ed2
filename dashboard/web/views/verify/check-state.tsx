import type { RigReadiness } from '#core/messages/api-journal';
import { text } from '../../text/text.ts';

type State = RigReadiness['checks'][number]['state'];

const MARKS: Record<State, string> = { valid: '✓', missing: '○', failed: '◆', notShown: '?', expired: '△' };

/** How a check stands: shape and word; colour only adds. */
export function CheckState({ state }: { readonly state: State }) {
  return (
    <span class="check-state" data-state={state}>
      <span aria-hidden="true">{MARKS[state]}</span> {text.value.verify.states[state]}
    </span>
  );
}
