import type { ShownQuantity } from '#core/units/shown-units';
import { localDateTime, typedMoment } from '../../../parts/local-date-time.ts';
import { format, text } from '../../../text/text.ts';
import { storedText, typedStored } from '../../../text/typed-number.ts';
import { TypedField } from '../../verify/fields.tsx';
import type { Draft, JointForm } from './joint-form.ts';
import { PassPick, SidePick } from './pass-pick.tsx';

type Reading = 'current' | 'voltage' | 'travel' | 'energy';
type Field = 'pass' | 'side' | 'weldedBy' | 'how' | 'weldedAt' | Reading;
type ElsewhereDraft = Draft<Field>;

const READINGS: readonly {
  readonly field: Reading;
  readonly key: 'weldingCurrentA' | 'arcVoltageV' | 'travelSpeedMmS' | 'arcEnergyKjMm';
  readonly quantity: ShownQuantity;
  /** In the stored unit. */
  readonly max: number;
}[] = [
  { field: 'current', key: 'weldingCurrentA', quantity: 'weldingCurrent', max: 2000 },
  { field: 'voltage', key: 'arcVoltageV', quantity: 'arcVoltage', max: 200 },
  { field: 'travel', key: 'travelSpeedMmS', quantity: 'travelSpeed', max: 1000 },
  { field: 'energy', key: 'arcEnergyKjMm', quantity: 'arcEnergy', max: 20 },
];

const EMPTY: ElsewhereDraft = {
  pass: '',
  side: '',
  weldedBy: '',
  how: '',
  weldedAt: '',
  current: '',
  voltage: '',
  travel: '',
  energy: '',
};

/** Readings as the schema wants them: none at all where nothing is typed. */
function readingsOf(draft: ElsewhereDraft): { readonly readings?: Readonly<Record<string, number>> } {
  const typed = READINGS.flatMap(({ field, key, quantity }) => {
    const value = typedStored(quantity, draft[field]);
    return value === null ? [] : [[key, value] as const];
  });
  return typed.length === 0 ? {} : { readings: Object.fromEntries(typed) };
}

export const elsewhereForm: JointForm<Field> = {
  needsReason: false,
  begin: ({ start, nowMs }) => ({
    ...EMPTY,
    pass: start.pass ?? '',
    side: start.side ?? '',
    weldedAt: localDateTime(nowMs),
  }),
  from: ({ body }) => {
    if (body.kind !== 'loggedElsewhere') return EMPTY;
    const { readings } = body;
    const reading = (key: keyof NonNullable<typeof readings>, quantity: ShownQuantity): string =>
      storedText(quantity, readings?.[key]);
    return {
      pass: body.pass,
      side: body.side ?? 'both',
      weldedBy: body.weldedBy,
      how: body.how,
      weldedAt: localDateTime(Date.parse(body.weldedAt)),
      current: reading('weldingCurrentA', 'weldingCurrent'),
      voltage: reading('arcVoltageV', 'arcVoltage'),
      travel: reading('travelSpeedMmS', 'travelSpeed'),
      energy: reading('arcEnergyKjMm', 'arcEnergy'),
    };
  },
  problems: (draft, { nowMs }) => {
    const { missing } = text.value.jointEntries;
    const wrong = READINGS.filter(({ field, quantity, max }) => {
      const value = typedStored(quantity, draft[field]);
      return draft[field].trim() !== '' && (value === null || value <= 0 || value > max);
    });
    return {
      ...(draft.pass.trim() === '' ? { pass: missing.pass } : {}),
      ...(draft.side === '' ? { side: missing.side } : {}),
      ...(draft.weldedBy.trim() === '' ? { weldedBy: missing.weldedBy } : {}),
      ...(draft.how.trim() === '' ? { how: missing.how } : {}),
      ...(typedMoment(draft.weldedAt, nowMs) === null ? { weldedAt: missing.when } : {}),
      ...Object.fromEntries(wrong.map(({ field }) => [field, missing.number])),
    };
  },
  body: (draft, { joint, nowMs }) => ({
    kind: 'loggedElsewhere',
    joint,
    side: draft.side === 'A' || draft.side === 'B' ? draft.side : null,
    pass: draft.pass.trim(),
    weldedBy: draft.weldedBy.trim(),
    how: draft.how.trim(),
    weldedAt: new Date(typedMoment(draft.weldedAt, nowMs) ?? nowMs).toISOString(),
    ...readingsOf(draft),
  }),
  Fields({ draft, change, problems, context }) {
    const t = text.value.jointEntries;
    const typed = (
      field: 'weldedBy' | 'how' | Reading,
      label: string,
      rest: { readonly hint?: string; readonly kind?: 'text'; readonly max?: number } = {},
    ) => (
      <TypedField
        key={field}
        id={`elsewhere-${field}`}
        label={label}
        value={draft[field]}
        error={problems[field] ?? null}
        type={value => change({ [field]: value })}
        {...rest}
      />
    );
    return (
      <>
        <PassPick
          legend={t.pass}
          names={context.passNames}
          value={draft.pass}
          error={problems.pass ?? null}
          pick={pass => change({ pass })}
        />
        <SidePick both value={draft.side} error={problems.side ?? null} pick={side => change({ side })} />
        {typed('weldedBy', t.weldedBy, { hint: t.weldedByHint, kind: 'text', max: 80 })}
        {typed('how', t.how, { hint: t.howHint, kind: 'text', max: 200 })}
        <TypedField
          id="welded-at"
          label={t.weldedAt}
          value={draft.weldedAt}
          kind="datetime-local"
          error={problems.weldedAt ?? null}
          type={weldedAt => change({ weldedAt })}
        />
        <fieldset>
          <legend>{t.readings}</legend>
          <p class="hint">{t.optional}</p>
          <div class="field-pair">
            {READINGS.map(({ field, quantity }) => typed(field, t[field](format().units[quantity].unit)))}
          </div>
        </fieldset>
      </>
    );
  },
};
