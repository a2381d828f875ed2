import { localDateTime, typedMoment } from '../../../parts/local-date-time.ts';
import { Pick } from '../../../parts/pick.tsx';
import { text } from '../../../text/text.ts';
import { numberText, typedNumber } from '../../../text/typed-number.ts';
import { TypedField } from '../../verify/fields.tsx';
import { typedClock } from '../clock-typed.ts';
import {
  keepUnit,
  keptUnit,
  type TemperatureUnit,
  temperatureText,
  typedCel,
  UNIT_WORD,
} from '../temperature-unit.ts';
import { type Draft, type FormContext, given, type JointForm } from './joint-form.ts';
import { PassPick } from './pass-pick.tsx';

type Limits = { readonly limitsOf: FormContext['limitsOf'] };
type Field = 'quantity' | 'pass' | 'value' | 'unit' | 'where' | 'clock' | 'instrument' | 'takenAt';

/** What an instrument on a pipe can read at all, °C. */
const LOWEST_CEL = -60;
const HIGHEST_CEL = 600;
const QUANTITIES = ['preheatTemperature', 'interpassTemperature'] as const;
const UNITS = ['Cel', '[degF]'] as const;
const unitOf = (draft: Draft<Field>): TemperatureUnit => (draft.unit === '[degF]' ? '[degF]' : 'Cel');
const quantityOf = (draft: Draft<Field>) =>
  draft.quantity === 'interpassTemperature' ? 'interpassTemperature' : 'preheatTemperature';

/** What the reading is against the limit of the pass about to be welded, in words; null where it is inside or unknown. */
export function againstLimit(draft: Draft<Field>, context: Limits): string | null {
  const unit = unitOf(draft);
  const valueCel = typedCel(draft.value, unit);
  if (valueCel === null) return null;
  const t = text.value.jointEntries;
  const shown = (cel: number): string => `${temperatureText(cel, unit)} ${UNIT_WORD[unit]}`;
  for (const limit of context.limitsOf(draft.pass)) {
    if (limit.quantity !== quantityOf(draft)) continue;
    if (limit.min !== null && valueCel < limit.min) return t.belowMin(shown(valueCel), shown(limit.min));
    if (limit.max !== null && valueCel > limit.max) return t.aboveMax(shown(valueCel), shown(limit.max));
  }
  return null;
}

/** Before the first pass it is preheat, before any other interpass. */
const proposedQuantity = (pass: string, names: readonly string[]): string =>
  pass === '' || names.indexOf(pass) <= 0 ? 'preheatTemperature' : 'interpassTemperature';

export const temperatureForm: JointForm<Field> = {
  needsReason: false,
  begin: ({ start, state, passNames, nowMs }) => {
    const pass = start.pass ?? state?.nextPass ?? '';
    return {
      quantity: proposedQuantity(pass, passNames),
      pass,
      value: '',
      unit: keptUnit(localStorage),
      where: 'all',
      clock: '',
      instrument: '',
      takenAt: localDateTime(nowMs),
    };
  },
  from: ({ body }) => {
    const unit = keptUnit(localStorage);
    if (body.kind !== 'temperatureReading') {
      return {
        quantity: '',
        pass: '',
        value: '',
        unit,
        where: 'all',
        clock: '',
        instrument: '',
        takenAt: '',
      };
    }
    return {
      quantity: body.quantity,
      pass: body.pass,
      value: temperatureText(body.valueCel, unit),
      unit,
      where: body.clock === null ? 'all' : 'clock',
      clock: body.clock === null ? '' : numberText(body.clock),
      instrument: body.instrument ?? '',
      takenAt: localDateTime(Date.parse(body.takenAt)),
    };
  },
  problems: (draft, { nowMs }) => {
    const { missing } = text.value.jointEntries;
    const unit = unitOf(draft);
    const shown = (cel: number): string => `${temperatureText(cel, unit)} ${UNIT_WORD[unit]}`;
    const value = typedNumber(draft.value) === null ? null : typedCel(draft.value, unitOf(draft));
    return {
      ...(draft.pass.trim() === '' ? { pass: missing.pass } : {}),
      ...(value === null || value < LOWEST_CEL || value > HIGHEST_CEL
        ? { value: missing.temperature(shown(LOWEST_CEL), shown(HIGHEST_CEL)) }
        : {}),
      ...(draft.where === 'clock' && typedClock(draft.clock) === null ? { clock: missing.clock } : {}),
      ...(typedMoment(draft.takenAt, nowMs) === null ? { takenAt: missing.when } : {}),
    };
  },
  body: (draft, { joint, nowMs }) => ({
    kind: 'temperatureReading',
    joint,
    quantity: quantityOf(draft),
    pass: draft.pass.trim(),
    valueCel: typedCel(draft.value, unitOf(draft)) ?? 0,
    clock: draft.where === 'clock' ? typedClock(draft.clock) : null,
    ...given('instrument', draft.instrument),
    takenAt: new Date(typedMoment(draft.takenAt, nowMs) ?? nowMs).toISOString(),
  }),
  Fields({ draft, change, problems, context }) {
    const t = text.value.jointEntries;
    const unit = unitOf(draft);
    const against = againstLimit(draft, context);
    return (
      <>
        <p class="note">{t.hot}</p>
        <TypedField
          id="temperature"
          label={`${t.value}, ${UNIT_WORD[unit]}`}
          value={draft.value}
          error={problems.value ?? null}
          type={value => change({ value })}
        />
        <div role="status">{against !== null && <p class="message out">{against}</p>}</div>
        <Pick
          name="unit"
          legend={t.unitLegend}
          options={UNITS.map(value => ({ value, label: UNIT_WORD[value] }))}
          value={unit}
          error={null}
          pick={value => {
            keepUnit(localStorage, value === '[degF]' ? '[degF]' : 'Cel');
            change({ unit: value });
          }}
        />
        <Pick
          name="quantity"
          legend={t.quantityLegend}
          options={QUANTITIES.map(value => ({ value, label: t.quantity[value] }))}
          value={draft.quantity}
          error={null}
          pick={quantity => change({ quantity })}
        />
        <PassPick
          legend={t.beforePass}
          names={context.passNames}
          value={draft.pass}
          error={problems.pass ?? null}
          pick={pass => change({ pass, quantity: proposedQuantity(pass, context.passNames) })}
        />
        <Pick
          name="where"
          legend={t.where}
          options={[
            { value: 'all', label: t.allAround },
            { value: 'clock', label: t.atClock },
          ]}
          value={draft.where}
          error={null}
          pick={where => change({ where })}
        />
        {draft.where === 'clock' && (
          <TypedField
            id="reading-clock"
            label={t.clock}
            hint={t.clockHint}
            value={draft.clock}
            kind="text"
            max={5}
            error={problems.clock ?? null}
            type={clock => change({ clock })}
          />
        )}
        <TypedField
          id="instrument"
          label={t.instrument}
          hint={t.instrumentHint}
          value={draft.instrument}
          kind="text"
          max={60}
          error={null}
          type={instrument => change({ instrument })}
        />
        <TypedField
          id="taken-at"
          label={t.takenAt}
          value={draft.takenAt}
          kind="datetime-local"
          error={problems.takenAt ?? null}
          type={takenAt => change({ takenAt })}
        />
      </>
    );
  },
};
