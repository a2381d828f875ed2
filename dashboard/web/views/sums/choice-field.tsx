import type { ChoiceInput } from '#core/calculations/calculation';
import { said } from '../../text/said.ts';
import { text } from '../../text/text.ts';
import type { FieldProblem } from './sum-form.ts';
import type { InputDraft } from './sums-memory.ts';

interface ChoiceFieldProps {
  readonly id: string;
  readonly input: ChoiceInput;
  readonly draft: InputDraft;
  readonly problem: FieldProblem | null;
  readonly change: (part: Partial<InputDraft>) => void;
}

/** More choices than this are a list to open. */
const MOST_BUTTONS = 4;

export function ChoiceField({ id, input, draft, problem, change }: ChoiceFieldProps) {
  const t = text.value.sums;
  const error = problem === null ? null : t.missingChoice(said(input.label));
  if (input.choices.length > MOST_BUTTONS) {
    return (
      <div class="field">
        <label for={id}>{said(input.label)}</label>
        <select
          id={id}
          value={draft.value}
          aria-invalid={error !== null}
          {...(error === null ? {} : { 'aria-describedby': `${id}-error` })}
          onChange={event => change({ value: event.currentTarget.value })}
        >
          {draft.value === '' && <option value="">{t.choose}</option>}
          {input.choices.map(choice => (
            <option key={choice} value={choice}>
              {said(choice)}
            </option>
          ))}
        </select>
        {error !== null && (
          <p class="error" id={`${id}-error`}>
            {error}
          </p>
        )}
      </div>
    );
  }
  return (
    <fieldset>
      <legend>{said(input.label)}</legend>
      <div class="picks">
        {input.choices.map(choice => (
          <label key={choice} class="pick">
            <input
              type="radio"
              name={id}
              value={choice}
              checked={choice === draft.value}
              aria-invalid={error !== null}
              onChange={() => change({ value: choice })}
            />
            <span>{said(choice)}</span>
          </label>
        ))}
      </div>
      {error !== null && <p class="error">{error}</p>}
    </fieldset>
  );
}
