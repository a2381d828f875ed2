import { unitTail } from '#core/calculations/answer';
import type { NumberInput } from '#core/calculations/calculation';
import { convert } from '#core/units/ucum';
import { unitLabel } from '#core/units/unit-label';
import { said } from '../../text/said.ts';
import { text } from '../../text/text.ts';
import { isAmbiguous, typedNumber } from '../../text/typed-number.ts';
import { plainNumber } from './shown-number.ts';
import { type FieldProblem, offered, takesPercent } from './sum-form.ts';
import type { InputDraft } from './sums-memory.ts';

interface NumberFieldProps {
  readonly id: string;
  readonly input: NumberInput;
  readonly draft: InputDraft;
  readonly problem: FieldProblem | null;
  readonly uncertainties: boolean;
  readonly change: (part: Partial<InputDraft>) => void;
}

const quantity = (value: number, unit: string): string => `${plainNumber(value)}${unitTail(unit)}`;

/** What is wrong with the number itself; what is wrong with its ± is said there. */
function errorText(problem: FieldProblem, label: string): string | null {
  const t = text.value.sums;
  if (problem.kind === 'implausible') return t.implausible(said(problem.range));
  if (problem.kind === 'plusNotNumber') return null;
  return problem.kind === 'missing' ? t.missing(label) : t.notNumber;
}

/** A number with its unit beside it; what it means in the unit worked in stands below. */
export function NumberField({ id, input, draft, problem, uncertainties, change }: NumberFieldProps) {
  const t = text.value.sums;
  const units = offered(input);
  const value = typedNumber(draft.value);
  const hint =
    input.fallback !== undefined
      ? t.ifEmpty(quantity(convert(input.fallback, input.unit, draft.unit), draft.unit))
      : input.optional === true
        ? t.mayBeEmpty
        : null;
  const echo =
    value === null
      ? null
      : draft.unit !== input.unit
        ? t.same(quantity(convert(value, draft.unit, input.unit), input.unit))
        : /[.,]/.test(draft.value)
          ? t.readAs(quantity(value, draft.unit))
          : null;
  const error =
    problem === null
      ? null
      : isAmbiguous(draft.value)
        ? text.value.ambiguous(draft.value)
        : errorText(problem, said(input.label));
  const described = [
    ...(hint === null ? [] : [`${id}-hint`]),
    ...(error === null ? [] : [`${id}-error`]),
    ...(echo === null ? [] : [`${id}-echo`]),
  ];
  return (
    <div class="field">
      <label for={id}>{said(input.label)}</label>
      {hint !== null && (
        <p class="hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      <div class="sum-number">
        <input
          id={id}
          type="text"
          inputMode="decimal"
          autoComplete="off"
          maxLength={20}
          value={draft.value}
          aria-invalid={error !== null}
          {...(described.length === 0 ? {} : { 'aria-describedby': described.join(' ') })}
          onInput={event => change({ value: event.currentTarget.value })}
        />
        {units.length > 1 ? (
          <select
            aria-label={t.unit(said(input.label))}
            value={draft.unit}
            onChange={event => change({ unit: event.currentTarget.value })}
          >
            {units.map(unit => (
              <option key={unit} value={unit}>
                {unitLabel(unit)}
              </option>
            ))}
          </select>
        ) : (
          <span class="sum-unit">{unitLabel(input.unit)}</span>
        )}
      </div>
      {echo !== null && (
        <p class="hint sum-echo" id={`${id}-echo`}>
          {echo}
        </p>
      )}
      {error !== null && (
        <p class="error" id={`${id}-error`}>
          {error}
        </p>
      )}
      {uncertainties && (
        <UncertaintyFields
          id={id}
          input={input}
          draft={draft}
          error={problem?.kind === 'plusNotNumber' ? t.plusNotNumber : null}
          change={change}
        />
      )}
    </div>
  );
}

interface UncertaintyFieldsProps {
  readonly id: string;
  readonly input: NumberInput;
  readonly draft: InputDraft;
  readonly error: string | null;
  readonly change: (part: Partial<InputDraft>) => void;
}

function UncertaintyFields({ id, input, draft, error, change }: UncertaintyFieldsProps) {
  const t = text.value.sums;
  return (
    <>
      <div class="sum-plus">
        <span aria-hidden="true">±</span>
        <input
          type="text"
          inputMode="decimal"
          autoComplete="off"
          maxLength={12}
          aria-label={t.plus(said(input.label))}
          value={draft.plus}
          aria-invalid={error !== null}
          {...(error === null ? {} : { 'aria-describedby': `${id}-plus-error` })}
          onInput={event => change({ plus: event.currentTarget.value })}
        />
        {takesPercent(input) ? (
          <select
            aria-label={t.plusUnit(said(input.label))}
            value={draft.plusUnit}
            onChange={event =>
              change({ plusUnit: event.currentTarget.value === 'percent' ? 'percent' : 'same' })
            }
          >
            <option value="same">{unitLabel(draft.unit)}</option>
            <option value="percent">{t.percent}</option>
          </select>
        ) : (
          <span class="sum-unit">{unitLabel(draft.unit)}</span>
        )}
        <select
          aria-label={t.plusKind(said(input.label))}
          value={draft.plusKind}
          onChange={event =>
            change({ plusKind: event.currentTarget.value === 'standard' ? 'standard' : 'limits' })
          }
        >
          <option value="limits">{t.kinds.limits}</option>
          <option value="standard">{t.kinds.standard}</option>
        </select>
      </div>
      {error !== null && (
        <p class="error" id={`${id}-plus-error`}>
          {error}
        </p>
      )}
    </>
  );
}
