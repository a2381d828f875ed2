import { useState } from 'preact/hooks';
import type { Entry } from '#core/journal/entry';
import type { Live } from '#core/messages/live';
import { format, text } from '../../text/text.ts';
import { keepSettings, readSettings } from './check-settings.ts';
import { type ClockField, type ClockForm, clockResult, missingClockFields } from './clock-form.ts';
import { Choice, TypedField } from './fields.tsx';
import { ResultPanel } from './result-panel.tsx';
import { SaveBlock } from './save-block.tsx';
import { SettingsFields } from './settings-fields.tsx';
import { useDraft } from './use-draft.ts';
import type { People } from './use-people.ts';

interface ClockCheckProps {
  readonly site: string;
  readonly rig: string;
  readonly people: People;
  readonly start: { readonly state: 'asFound' | 'asLeft' };
  /** The edge's own word on its clock; null where nothing arrives. */
  readonly clock: Live['clock'] | null;
  readonly onSaved: (entry: Entry) => void;
}

/** As measured by the edge, and by eye, ± ms (common practice, no source). */
const UNCERTAINTY_MS = { edge: '50', eye: '300' } as const;

/** The rig's clock against the dashboard's or a time signal. */
export function ClockCheck({ site, rig, people, start, clock, onSaved }: ClockCheckProps) {
  const t = text.value.verify;
  const [form, change, clear] = useDraft<ClockForm>(`girthlog.draft.${site}/${rig}/clock`, () => ({
    ...readSettings(localStorage, 'clock'),
    state: start.state,
    offsetMs: '',
    uncertaintyMs: UNCERTAINTY_MS.eye,
  }));
  const [tried, setTried] = useState(false);
  const missing = missingClockFields(form);
  const outcome = missing.length === 0 ? clockResult(form) : null;
  const error = (field: ClockField): string | null =>
    tried && missing.includes(field) ? t.missing[field] : null;
  const measured = clock?.offsetMs ?? null;
  const state = clock === null ? '' : text.value.trust.clockState[clock.state];
  const ms = (value: number): string => format().fixed(value, 0);
  const uncertainty = outcome?.uncertaintyMs ?? 0;
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
        pick={next => change({ state: next })}
      />
      <p class="how">{t.clock.how}</p>
      <p class="live-now">
        {clock === null
          ? t.clock.stateUnknown
          : measured === null
            ? t.clock.notMeasured(state)
            : t.clock.measured(ms(measured), state)}{' '}
        {measured !== null && (
          <button
            type="button"
            onClick={() => change({ offsetMs: ms(measured), uncertaintyMs: UNCERTAINTY_MS.edge })}
          >
            {t.clock.use(ms(measured))}
          </button>
        )}
      </p>
      <div class="field-pair">
        <TypedField
          id="offset"
          label={t.clock.offset}
          hint={t.clock.offsetHint}
          value={form.offsetMs}
          error={error('offsetMs')}
          type={offsetMs => change({ offsetMs })}
        />
        <TypedField
          id="uncertainty"
          label={t.clock.uncertainty}
          hint={t.clock.uncertaintyHint}
          value={form.uncertaintyMs}
          error={error('uncertaintyMs')}
          type={uncertaintyMs => change({ uncertaintyMs })}
        />
      </div>
      <SettingsFields
        form={form}
        change={change}
        missing={tried ? missing : []}
        shown={['limitMs', 'validHours']}
      />
      {outcome !== null ? (
        <ResultPanel
          result={outcome.result}
          word={t.result[outcome.result]}
          why={
            outcome.result === 'notShown'
              ? `${t.result.why.notShown} ${t.result.better}`
              : t.result.why[outcome.result]
          }
          rows={[
            [t.result.rows.offset, t.result.ms(ms(outcome.offsetMs))],
            [t.result.rows.uncertainty, t.result.plusMinusMs(ms(uncertainty))],
            [t.result.rows.limit, t.result.plusMinusMs(ms(outcome.limitMs))],
          ]}
          bar={{
            error: outcome.offsetMs,
            uncertainty,
            limit: outcome.limitMs,
            unit: 'ms',
            label: t.result.bar(
              t.result.ms(ms(outcome.offsetMs)),
              t.result.plusMinusMs(ms(uncertainty)),
              t.result.plusMinusMs(ms(outcome.limitMs)),
            ),
          }}
        />
      ) : (
        <p class="result-none">{t.result.waiting}</p>
      )}
      <SaveBlock
        site={site}
        rig={rig}
        outcome={outcome}
        word={outcome === null ? '' : t.result[outcome.result]}
        validHours={form.validHours}
        people={people}
        onTry={() => setTried(true)}
        onSaved={entry => {
          keepSettings(localStorage, 'clock', form);
          clear();
          onSaved(entry);
        }}
      />
    </>
  );
}
