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
  const described = [
    ...(hint === undefined ? [] : [`${id}-hint`]),
    ...(error === null ? [] : [`${id}-error`]),
  ];
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {hint !== undefined && (
        <p class="hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      <textarea
        id={id}
        rows={rows}
        maxLength={max}
        value={value}
        aria-invalid={error !== null}
        {...(described.length === 0 ? {} : { 'aria-describedby': described.join(' ') })}
        onInput={event => type(event.currentTarget.value)}
      />
      {error !== null && (
        <p class="error" id={`${id}-error`}>
          {error}
        </p>
      )}
    </div>
  );
}
