interface PickProps {
  readonly name: string;
  readonly legend: string;
  readonly hint?: string;
  readonly options: readonly { readonly value: string; readonly label: string }[];
  readonly value: string;
  readonly error: string | null;
  readonly pick: (value: string) => void;
  readonly empty?: string;
}

/** A choice as large buttons: radio inputs underneath, so that keys and screen readers know them. */
export function Pick({ name, legend, hint, options, value, error, pick, empty }: PickProps) {
  return (
    <fieldset>
      <legend>{legend}</legend>
      {hint !== undefined && <p class="hint">{hint}</p>}
      {options.length === 0 && empty !== undefined && <p class="hint">{empty}</p>}
      <div class="picks">
        {options.map(option => (
          <label key={option.value} class="pick">
            <input
              type="radio"
              name={name}
              value={option.value}
              checked={option.value === value}
              aria-invalid={error !== null}
              onChange={() => pick(option.value)}
            />
            <span>{option.label}</span>
          </label>
        ))}
      </div>
      {error !== null && <p class="error">{error}</p>}
    </fieldset>
  );
}
