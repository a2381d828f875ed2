import type { ComponentChildren } from 'preact';
import { text } from '../../text/text.ts';
import type { CheckSettings } from './check-settings.ts';
import { TypedField } from './fields.tsx';

interface SettingsFieldsProps {
  readonly form: CheckSettings;
  readonly change: (part: Partial<CheckSettings>) => void;
  readonly missing: readonly string[];
  readonly shown: readonly ('tape' | 'stopwatchS' | 'limitPercent' | 'limitMs' | 'validHours')[];
  readonly children?: ComponentChildren;
}

/** What rarely changes: uncertainties, limit, how long the check is good. Open as soon as one of them is wrong. */
export function SettingsFields({ form, change, missing, shown, children }: SettingsFieldsProps) {
  const t = text.value.verify;
  const error = (field: keyof typeof t.missing): string | null =>
    missing.includes(field) ? t.missing[field] : null;
  const unit = form.lengthUnit === 'mm' ? t.mm : t.inches;
  const wrong = shown.some(field => missing.includes(field));
  return (
    <details class="more" {...(wrong ? { open: true } : {})}>
      <summary>{t.more}</summary>
      <div class="field-pair">
        {shown.includes('tape') && (
          <TypedField
            id="tape"
            label={t.tape(unit)}
            hint={t.uncertaintyHint}
            value={form.lengthUnit === 'mm' ? form.tapeMm : form.tapeIn}
            error={error('tape')}
            type={value => change(form.lengthUnit === 'mm' ? { tapeMm: value } : { tapeIn: value })}
          />
        )}
        {shown.includes('stopwatchS') && (
          <TypedField
            id="stopwatch"
            label={t.stopwatch}
            hint={t.uncertaintyHint}
            value={form.stopwatchS}
            error={error('stopwatchS')}
            type={stopwatchS => change({ stopwatchS })}
          />
        )}
        {children}
        {shown.includes('limitPercent') && (
          <TypedField
            id="limit"
            label={t.limitPercent}
            hint={t.limitHint}
            value={form.limitPercent}
            error={error('limitPercent')}
            type={limitPercent => change({ limitPercent })}
          />
        )}
        {shown.includes('limitMs') && (
          <TypedField
            id="limit-ms"
            label={t.limitMs}
            hint={t.limitMsHint}
            value={form.limitMs}
            error={error('limitMs')}
            type={limitMs => change({ limitMs })}
          />
        )}
        <TypedField
          id="valid-hours"
          label={t.validHours}
          hint={t.validHoursHint}
          value={form.validHours}
          error={error('validHours')}
          type={validHours => change({ validHours })}
        />
      </div>
      <p class="hint">{t.remembered}</p>
    </details>
  );
}
