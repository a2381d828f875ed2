import type { ComponentChildren } from 'preact';
import { FieldFrame, fieldAttributes } from '../../parts/field-frame.tsx';
import { text } from '../../text/text.ts';
import { isAmbiguous } from '../../text/typed-number.ts';

interface TypedFieldProps {
  readonly id: string;
  readonly label: string;
  readonly hint?: string | undefined;
  readonly value: string;
  readonly error: string | null;
  /** The two passwords are told apart for whoever fills them in: a person, or a password manager. */
  readonly kind?: 'decimal' | 'text' | 'date' | 'datetime-local' | 'current-password' | 'new-password';
  readonly max?: number;
  readonly type: (value: string) => void;
  readonly children?: ComponentChildren;
}

/** One labelled input; its hint and error are tied to it for a screen reader. */
export function TypedField(props: TypedFieldProps) {
  const { id, label, hint, value, error, kind = 'decimal', max = 12, type, children } = props;
  const shared = {
    ...fieldAttributes({ id, hint, error }),
    autoComplete: 'off',
    value,
    onInput: (event: { readonly currentTarget: HTMLInputElement }) => type(event.currentTarget.value),
  };
  const input =
    kind === 'date' || kind === 'datetime-local' ? (
      <input {...shared} type={kind} />
    ) : kind === 'current-password' || kind === 'new-password' ? (
      <input {...shared} type="password" autoComplete={kind} maxLength={max} />
    ) : (
      <input {...shared} type="text" inputMode={kind} maxLength={max} />
    );
  const said =
    error !== null && kind === 'decimal' && isAmbiguous(value) ? text.value.ambiguous(value) : error;
  return (
    <FieldFrame id={id} label={label} hint={hint} error={said} input={input}>
      {children}
    </FieldFrame>
  );
}

interface ChoiceProps<T extends string> {
  readonly name: string;
  readonly legend: string;
  readonly options: readonly { readonly value: T; readonly label: string }[];
  readonly value: T;
  readonly pick: (value: T) => void;
}

/** A few choices as large buttons: radio inputs underneath, so that keys and screen readers know them. */
export function Choice<T extends string>({ name, legend, options, value, pick }: ChoiceProps<T>) {
  return (
    <fieldset>
      <legend>{legend}</legend>
      <div class="picks">
        {options.map(option => (
          <label key={option.value} class="pick">
            <input
              type="radio"
              name={name}
              value={option.value}
              checked={option.value === value}
              onChange={() => pick(option.value)}
            />
            <span>{option.label}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}
