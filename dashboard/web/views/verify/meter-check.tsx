import { useState } from 'preact/hooks';
import type { Entry } from '#core/journal/entry';
import { convert } from '#core/units/ucum';
import { unitLabel } from '#core/units/unit-label';
import { said } from '../../text/said.ts';
import { format, text } from '../../text/text.ts';
import { numberText } from '../../text/typed-number.ts';
import { keepSettings, readSettings } from './check-settings.ts';
import { Choice, TypedField } from './fields.tsx';
import {
  isOverdue,
  METER_UNITS,
  type MeterCheck as MeterCheckName,
  type MeterField,
  type MeterForm,
  type MeterResult,
  meterResult,
  meterUnit,
  missingMeterFields,
} from './meter-form.ts';
import { ResultPanel } from './result-panel.tsx';
import { errorText, figures, limitText, withUnit } from './result-texts.ts';
import { SaveBlock } from './save-block.tsx';
import { SettingsFields } from './settings-fields.tsx';
import { useDraft } from './use-draft.ts';
import type { People } from './use-people.ts';

interface MeterCheckProps {
  readonly check: MeterCheckName;
  readonly site: string;
  readonly rig: string;
  readonly people: People;
  readonly start: { readonly state: 'asFound' | 'asLeft' };
  /** What arrives from the rig now, in the stored unit; null where nothing valid does. */
  readonly live: number | null;
  readonly tapPoint: string | null;
  readonly onSaved: (entry: Entry) => void;
}

/** Voltage, current, gas flow or a temperature instrument against a reference with a serial and a due date. */
export function MeterCheck(props: MeterCheckProps) {
  const { check, site, rig, people, start, live, tapPoint, onSaved } = props;
  const t = text.value.verify;
  const [form, change, clear] = useDraft<MeterForm>(`girthlog.draft.${site}/${rig}/${check}`, () => ({
    ...readSettings(localStorage, check),
    state: start.state,
    unit: meterUnit(check),
    shown: '',
    reference: '',
    serial: '',
    due: '',
    referenceUncertainty: '',
  }));
  const [tried, setTried] = useState(false);
  const missing = missingMeterFields(form);
  const answer = missing.length === 0 ? meterResult(check, form, Date.now()) : null;
  const result = answer?.kind === 'value' ? answer.value : null;
  const error = (field: MeterField): string | null =>
    tried && missing.includes(field) ? t.missing[field] : null;
  const unit = unitLabel(form.unit);
  const [stored] = METER_UNITS[check];
  const liveShown = live === null ? null : convert(live, stored, form.unit);
  const field = (name: 'shown' | 'reference' | 'referenceUncertainty', label: string, hint?: string) => (
    <TypedField
      id={name}
      label={label}
      hint={hint}
      value={form[name]}
      error={error(name)}
      type={value => change({ [name]: value })}
    />
  );
  return (
    <>
      <Choice
        name="state"
        legend={t.state}
        options={[
          { value: 'asFound', label: t.asFound },
          { value: 'asLeft', label: t.asLeft },
        ]}
        value={form.state}
        pick={state => change({ state })}
      />
      <p class="how">{t.meter.how[check]}</p>
      {check === 'arcVoltage' && tapPoint !== null && <p class="hint">{t.meter.tapPoint(tapPoint)}</p>}
      {METER_UNITS[check].length > 1 && (
        <Choice
          name="unit"
          legend={t.meter.unit}
          options={METER_UNITS[check].map(code => ({ value: code as string, label: unitLabel(code) }))}
          value={form.unit}
          pick={code => change({ unit: code })}
        />
      )}
      <div class="field-pair">
        {field('shown', t.meter.shown(unit))}
        {field('reference', t.meter.reference(unit))}
      </div>
      {liveShown !== null && live !== null && live > 0 && live <= 100_000 && (
        <p class="live-now">
          {t.meter.live(withUnit(liveShown, form.unit))}{' '}
          <button type="button" onClick={() => change({ shown: figures(liveShown) })}>
            {t.meter.useLive}
          </button>
        </p>
      )}
      <div class="field-pair">
        <TypedField
          id="serial"
          label={t.meter.serial}
          value={form.serial}
          kind="text"
          max={60}
          error={error('serial')}
          type={serial => change({ serial })}
        />
        <TypedField
          id="due"
          label={t.meter.due}
          value={form.due}
          kind="date"
          error={error('due')}
          type={due => change({ due })}
        />
      </div>
      {field('referenceUncertainty', t.meter.referenceUncertainty(unit), t.meter.referenceUncertaintyHint)}
      <SettingsFields
        form={form}
        change={change}
        missing={tried ? missing : []}
        shown={['limitPercent', 'validHours']}
      >
        <TypedField
          id="reading-uncertainty"
          label={t.meter.readingUncertainty(unit)}
          hint={t.uncertaintyHint}
          value={form.readingUncertainty}
          error={error('readingUncertainty')}
          type={readingUncertainty => change({ readingUncertainty })}
        />
      </SettingsFields>
      {result !== null ? (
        <MeterResultPanel result={result} overdue={isOverdue(form, Date.now())} />
      ) : (
        <p class="result-none">
          {answer?.kind === 'outOfRange' ? t.result.wrong(said(answer.text)) : t.result.waiting}
        </p>
      )}
      <SaveBlock
        site={site}
        rig={rig}
        outcome={result?.check ?? null}
        word={result === null ? '' : t.result[result.check.result]}
        validHours={form.validHours}
        people={people}
        onTry={() => setTried(true)}
        onSaved={entry => {
          keepSettings(localStorage, check, form);
          clear();
          onSaved(entry);
        }}
      />
    </>
  );
}

function MeterResultPanel({ result, overdue }: { readonly result: MeterResult; readonly overdue: boolean }) {
  const v = text.value.verify;
  const t = v.result;
  const { check } = result;
  const uncertainty = t.uncertainty(format().fixed(check.expandedUncertaintyPercent, 1));
  const why =
    check.result !== 'notShown'
      ? t.why[check.result]
      : overdue
        ? v.meter.overdue
        : `${t.why.notShown} ${t.better}`;
  return (
    <ResultPanel
      result={check.result}
      word={t[check.result]}
      why={why}
      rows={[
        [t.rows.shown, withUnit(check.shown, check.unit)],
        [t.rows.reference, withUnit(check.reference, check.unit)],
        [t.rows.error, errorText(check.errorPercent)],
        [t.rows.uncertainty, uncertainty],
        [t.rows.limit, limitText(check.limitPercent)],
      ]}
      bar={{
        error: check.errorPercent,
        uncertainty: check.expandedUncertaintyPercent,
        limit: check.limitPercent,
        unit: '%',
        label: t.bar(errorText(check.errorPercent), uncertainty, limitText(check.limitPercent)),
      }}
    >
      {check.check === 'temperature' && (
        <p class="hint">
          {v.meter.percentOfCelsius(
            numberText(check.limitPercent),
            format().fixed((check.reference * check.limitPercent) / 100, 1),
          )}
        </p>
      )}
    </ResultPanel>
  );
}
