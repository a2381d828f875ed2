import { format, text } from '../../text/text.ts';
import { Choice, TypedField } from './fields.tsx';
import {
  needsDiameter,
  type RigFacts,
  type RunCheck,
  type RunField,
  SPEED_UNITS,
  type TimedRunForm,
} from './timed-run-form.ts';
import { type LengthUnit, lengthText, typedLengthMm } from './typed-length.ts';

interface TapeFieldsProps {
  readonly check: RunCheck;
  readonly form: TimedRunForm;
  readonly facts: RigFacts;
  readonly error: (field: RunField) => string | null;
  readonly change: (part: Partial<TimedRunForm>) => void;
}

/** The tape: its unit, and for travel where it lies and what that means for the reading. */
export function TapeFields({ check, form, facts, error, change }: TapeFieldsProps) {
  const t = text.value.verify;
  const unitWord = form.lengthUnit === 'mm' ? t.mm : t.inches;
  function pickUnit(lengthUnit: LengthUnit): void {
    if (lengthUnit === form.lengthUnit) return;
    const again = (typed: string): string => lengthText(typedLengthMm(typed, form.lengthUnit), lengthUnit);
    change({
      lengthUnit,
      outsideDiameter: again(form.outsideDiameter),
      bandHeight: again(form.bandHeight),
      // What the rig shows follows the tape only while nothing is typed of it.
      ...(form.shown === ''
        ? { shownUnit: SPEED_UNITS[check].find(unit => unit.startsWith('[in_i]') === (lengthUnit === 'in'))! }
        : {}),
    });
  }
  return (
    <>
      <Choice
        name="unit"
        legend={t.unit}
        options={[
          { value: 'mm', label: t.mm },
          { value: 'in', label: t.inches },
        ]}
        value={form.lengthUnit}
        pick={pickUnit}
      />
      {check === 'travel' && (
        <>
          <Choice
            name="tape-on"
            legend={t.tapeOn}
            options={[
              { value: 'pipe', label: t.pipe },
              { value: 'band', label: t.band },
            ]}
            value={form.tapeOn}
            pick={tapeOn => change({ tapeOn })}
          />
          <p class="hint">
            {facts.referenceRadiusMm === null
              ? t.referenceNone
              : t.reference(format().measure('size', facts.referenceRadiusMm))}
          </p>
          {needsDiameter(check, form, facts) && (
            <div class="field-pair">
              <TypedField
                id="outside-diameter"
                label={t.outsideDiameter(unitWord)}
                value={form.outsideDiameter}
                error={error('outsideDiameter')}
                type={outsideDiameter => change({ outsideDiameter })}
              />
              {form.tapeOn === 'band' && (
                <TypedField
                  id="band-height"
                  label={t.bandHeight(unitWord)}
                  value={form.bandHeight}
                  error={error('bandHeight')}
                  type={bandHeight => change({ bandHeight })}
                />
              )}
            </div>
          )}
        </>
      )}
    </>
  );
}
