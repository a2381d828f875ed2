import { LIMIT_UNITS, LIMITED_QUANTITIES } from '#core/procedure/limit-units';
import type { LimitBasis } from '#core/procedure/procedure';
import { convert } from '#core/units/ucum';
import { unitLabel } from '#core/units/unit-label';
import { text } from '../../text/text.ts';
import { typedNumber } from '../../text/typed-number.ts';
import { plainNumber } from '../sums/shown-number.ts';
import { quantityText, SmallChoice, SmallField } from './edit-fields.tsx';
import { LIMIT_SHAPES, type LimitDraft, limitFieldId, SHAPE_NUMBERS } from './procedure-draft.ts';
import { LIMIT_UNIT_CHOICES, shownUnit, type UnitSystem } from './unit-system.ts';

interface LimitEditorProps {
  readonly limit: LimitDraft;
  readonly system: UnitSystem;
  readonly error: (id: string) => string | null;
  readonly change: (part: Partial<LimitDraft>) => void;
  readonly remove: () => void;
}

const BASES: readonly LimitBasis[] = ['pass', 'window', 'instant'];

/** One limit: a row on a wide screen, a card on a phone. A number stays as typed when its unit is changed. */
export function LimitEditor({ limit, system, error, change, remove }: LimitEditorProps) {
  const t = text.value.procedures;
  const e = t.edit;
  const { key, quantity, unit, shape } = limit;
  const quantityName = (name: string): string => text.value.quantity[name] ?? name;
  const stored = LIMIT_UNITS[quantity];
  const storedNote = (typed: string): string | null => {
    const value = unit === stored ? null : typedNumber(typed);
    return value === null
      ? null
      : e.stored(quantityText(plainNumber(convert(value, unit, stored), 6), stored));
  };
  const units = LIMIT_UNIT_CHOICES[quantity];
  return (
    <fieldset class="limit">
      <legend>{e.limit(quantityName(quantity))}</legend>
      <div class="limit-cells">
        <SmallChoice
          id={limitFieldId(key, 'quantity')}
          label={e.quantity}
          value={quantity}
          options={LIMITED_QUANTITIES.map(name => ({ value: name, label: quantityName(name) }))}
          error={error(limitFieldId(key, 'quantity'))}
          change={next => change({ quantity: next, unit: shownUnit(next, system) })}
        />
        <SmallChoice
          id={limitFieldId(key, 'unit')}
          label={e.unit}
          value={unit}
          options={(units.includes(unit) ? units : [unit, ...units]).map(code => ({
            value: code,
            label: unitLabel(code),
          }))}
          error={error(limitFieldId(key, 'unit'))}
          change={next => change({ unit: next })}
        />
        <SmallChoice
          id={limitFieldId(key, 'shape')}
          label={e.shape}
          value={shape}
          options={LIMIT_SHAPES.map(value => ({ value, label: e.shapes[value] }))}
          change={next => change({ shape: next })}
        />
        {SHAPE_NUMBERS[shape].map(name => (
          <SmallField
            key={name}
            id={limitFieldId(key, name)}
            label={e.numbers[name]}
            numeric
            value={limit.numbers[name]}
            note={name === 'tolerancePercent' ? null : storedNote(limit.numbers[name])}
            error={error(limitFieldId(key, name))}
            change={value => change({ numbers: { ...limit.numbers, [name]: value } })}
          />
        ))}
        <SmallChoice
          id={limitFieldId(key, 'basis')}
          label={e.basis}
          value={limit.basis}
          options={BASES.map(value => ({ value, label: t.basis[value] }))}
          error={error(limitFieldId(key, 'basis'))}
          change={basis => change({ basis })}
        />
        <SmallField
          wide
          id={limitFieldId(key, 'authority')}
          label={e.authority}
          value={limit.authority}
          max={200}
          error={error(limitFieldId(key, 'authority'))}
          change={authority => change({ authority })}
        />
        {limit.zoned && (
          <>
            <SmallField
              id={limitFieldId(key, 'from')}
              label={e.from}
              value={limit.from}
              note={e.zoneHint}
              error={error(limitFieldId(key, 'from'))}
              change={from => change({ from })}
            />
            <SmallField
              id={limitFieldId(key, 'to')}
              label={e.to}
              value={limit.to}
              error={error(limitFieldId(key, 'to'))}
              change={to => change({ to })}
            />
          </>
        )}
      </div>
      <div class="limit-actions">
        <label class="pick sum-switch">
          <input
            type="checkbox"
            checked={limit.zoned}
            onChange={event => change({ zoned: event.currentTarget.checked })}
          />
          <span>{e.zoned}</span>
        </label>
        <button type="button" onClick={remove}>
          {e.removeLimit}
          <span class="sr-only"> {e.removeLimitOf(quantityName(quantity))}</span>
        </button>
      </div>
    </fieldset>
  );
}
