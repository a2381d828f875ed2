import type { ProcedureState } from '#core/messages/api-journal';
import { text } from '../../text/text.ts';

/** The state of a revision as a word in a frame; the frame differs too, so that it is not read by its word alone. */
export const StateMark = ({ state }: { readonly state: ProcedureState }) => (
  <span class="state-mark" data-state={state}>
    {text.value.procedures.state[state]}
  </span>
);

export const ExampleMark = () => <strong class="example-only">{text.value.exampleOnly}</strong>;
