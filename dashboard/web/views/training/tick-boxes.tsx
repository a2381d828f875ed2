interface TickBoxesProps {
  readonly legend: string;
  readonly options: readonly { readonly value: string; readonly label: string }[];
  readonly ticked: readonly string[];
  readonly tick: (values: readonly string[]) => void;
}

/** Several of a few, as large buttons: check boxes underneath, so that keys and screen readers know them. */
export function TickBoxes({ legend, options, ticked, tick }: TickBoxesProps) {
  return (
    <fieldset>
      <legend>{legend}</legend>
      <div class="picks">
        {options.map(({ value, label }) => (
          <label key={value} class="pick">
            <input
              type="checkbox"
              checked={ticked.includes(value)}
              onChange={() =>
                tick(ticked.includes(value) ? ticked.filter(one => one !== value) : [...ticked, value])
              }
            />
            <span>{label}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}
