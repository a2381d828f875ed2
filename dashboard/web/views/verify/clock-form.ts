import { verificationResult } from '#core/checks/verification';
import type { Check } from '#core/journal/rig-entries';
import { typedNumber } from '../../text/typed-number.ts';
import type { CheckSettings } from './check-settings.ts';
import { notNegative, positive } from './timed-run-form.ts';

export interface ClockForm extends CheckSettings {
  readonly state: 'asFound' | 'asLeft';
  /** Rig clock minus reference, ms; + is fast. */
  readonly offsetMs: string;
  readonly uncertaintyMs: string;
}

export type ClockField = 'offsetMs' | 'uncertaintyMs' | 'limitMs' | 'validHours';
type ClockCheck = Extract<Check, { check: 'clock' }>;

export function missingClockFields(form: ClockForm): ClockField[] {
  const missing: ClockField[] = [];
  if (typedNumber(form.offsetMs) === null) missing.push('offsetMs');
  if (notNegative(form.uncertaintyMs, 100_000) === null) missing.push('uncertaintyMs');
  if (positive(form.limitMs, 100_000) === null) missing.push('limitMs');
  if (positive(form.validHours, 100_000) === null) missing.push('validHours');
  return missing;
}

/** The result of a complete form. */
export function clockResult(form: ClockForm): ClockCheck {
  const typed = (text: string): number => typedNumber(text) ?? Number.NaN;
  const [offsetMs, uncertaintyMs, limitMs] = [
    typed(form.offsetMs),
    typed(form.uncertaintyMs),
    typed(form.limitMs),
  ];
  return {
    check: 'clock',
    offsetMs,
    uncertaintyMs,
    limitMs,
    result: verificationResult(offsetMs, uncertaintyMs, limitMs),
    state: form.state,
  };
}
