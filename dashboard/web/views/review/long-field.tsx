import { FieldFrame, fieldAttributes } from '../../parts/field-frame.tsx';

interface LongFieldProps {
  readonly id: string;
  readonly label: string;
  readonly hint?: string;
  readonly value: string;
  readonly max: number;
  readonly rows?: number;
  readonly error: string | null;
  readonly type: (value: string) => void;
}

/** Words of several lines. */
export function LongField({ id, label, hint, value, max, rows = 4, error, type }: LongFieldProps) {
  return (
    <FieldFrame
      id={id}
      label={label}
      hint={hint}
      error={error}
      input={
        <textarea
          {...fieldAttributes({ id, hint, error })}
          rows={rows}
          maxLength={max}
          value={value}
          onInput={event => type(event.currentTarget.value)}
        />
      }
    />
  );
}
