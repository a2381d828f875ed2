import { unitTail } from '#core/calculations/answer';
import { unitLabel } from '#core/units/unit-label';
import { text } from '../../text/text.ts';
import type { FieldSpec } from './procedure-fields.ts';
import { lengthUnit, type UnitSystem } from './unit-system.ts';

/** Texts that may be this long get the whole line. */
const WIDE = 120;

interface EditFieldProps {
  readonly id: string;
  readonly spec: FieldSpec;
  readonly value: string;
  readonly system: UnitSystem;
  readonly error: string | null;
  readonly hint?: string;
  readonly change: (value: string) => void;
}

/** One field of a procedure file, of whatever kind. */
export function EditField({ id, spec, value, system, error, hint, change }: EditFieldProps) {
  const t = text.value.procedures;
  const name = t.field[spec.path] ?? spec.path;
  const label = spec.unit === 'mm' ? t.withUnit(name, unitLabel(lengthUnit(system))) : name;
  if (spec.kind === 'flag') {
    return (
      <label class="pick sum-switch">
        <input
          id={id}
          type="checkbox"
          checked={value === 'yes'}
          onChange={event => change(event.currentTarget.checked ? 'yes' : 'no')}
        />
        <span>{label}</span>
      </label>
    );
  }
  const described = [
    ...(hint === undefined ? [] : [`${id}-hint`]),
    ...(error === null ? [] : [`${id}-error`]),
  ];
  const shared = {
    id,
    value,
    'aria-invalid': error !== null,
    ...(described.length === 0 ? {} : { 'aria-describedby': described.join(' ') }),
  };
  return (
    <div class={(spec.max ?? 0) >= WIDE ? 'field wide' : 'field'}>
      <label for={id}>{label}</label>
      {hint !== undefined && (
        <p class="hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      {spec.kind === 'choice' ? (
        <select {...shared} onChange={event => change(event.currentTarget.value)}>
          <option value="">{t.edit.choose}</option>
          {spec.choices?.map(choice => (
            <option key={choice} value={choice}>
              {t.choice[choice] ?? choice}
            </option>
          ))}
        </select>
      ) : spec.kind === 'long' ? (
        <textarea
          {...shared}
          rows={3}
          maxLength={spec.max ?? 1000}
          onInput={event => change(event.currentTarget.value)}
        />
      ) : (
        <input
          {...shared}
          type="text"
          inputMode={spec.kind === 'number' ? 'decimal' : 'text'}
          autoComplete="off"
          maxLength={spec.max ?? 16}
          onInput={event => change(event.currentTarget.value)}
        />
      )}
      {error !== null && (
        <p class="error" id={`${id}-error`}>
          {error}
        </p>
      )}
    </div>
  );
}

interface SmallFieldProps {
  readonly id: string;
  readonly label: string;
  readonly value: string;
  readonly error: string | null;
  readonly numeric?: boolean;
  readonly max?: number;
  readonly note?: string | null;
  readonly wide?: boolean;
  readonly change: (value: string) => void;
}

/** A cell of the limit table: label above, what is stored below. */
export function SmallField({ id, label, value, error, numeric, max, note, wide, change }: SmallFieldProps) {
  const described = [
    ...(note === undefined || note === null ? [] : [`${id}-note`]),
    ...(error === null ? [] : [`${id}-error`]),
  ];
  return (
    <div class={wide === true ? 'cell wide' : 'cell'}>
      <label for={id}>{label}</label>
      <input
        id={id}
        type="text"
        inputMode={numeric === true ? 'decimal' : 'text'}
        autoComplete="off"
        maxLength={max ?? 16}
        value={value}
        aria-invalid={error !== null}
        {...(described.length === 0 ? {} : { 'aria-describedby': described.join(' ') })}
        onInput={event => change(event.currentTarget.value)}
      />
      {note !== undefined && note !== null && (
        <p class="cell-note" id={`${id}-note`}>
          {note}
        </p>
      )}
      {error !== null && (
        <p class="error" id={`${id}-error`}>
          {error}
        </p>
      )}
    </div>
  );
}

interface SmallChoiceProps<T extends string> {
  readonly id: string;
  readonly label: string;
  readonly value: T;
  readonly options: readonly { readonly value: T; readonly label: string }[];
  readonly error?: string | null;
  readonly change: (value: T) => void;
}

export function SmallChoice<T extends string>(props: SmallChoiceProps<T>) {
  const { id, label, value, options, error = null, change } = props;
  return (
    <div class="cell">
      <label for={id}>{label}</label>
      <select
        id={id}
        value={value}
        aria-invalid={error !== null}
        {...(error === null ? {} : { 'aria-describedby': `${id}-error` })}
        onChange={event => {
          const picked = options.find(option => option.value === event.currentTarget.value);
          if (picked !== undefined) change(picked.value);
        }}
      >
        {options.map(option => (
          <option key={option.value} value={option.value}>
            {option.label}
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

export const quantityText = (value: string, unit: string): string => `${value}${unitTail(unit)}`;
