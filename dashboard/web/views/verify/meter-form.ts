import type { Answer } from '#core/calculations/answer';
import { type MeterVerification, verifyMeter } from '#core/checks/verification';
import type { Check } from '#core/journal/rig-entries';
import { standardUncertainty } from '#core/statistics/uncertainty';
import { convert } from '#core/units/ucum';
import { format } from '../../text/text.ts';
import { typedNumber } from '../../text/typed-number.ts';
import type { CheckSettings } from './check-settings.ts';
import { notNegative, positive } from './timed-run-form.ts';

export type MeterCheck = 'arcVoltage' | 'weldingCurrent' | 'gasFlow' | 'temperature';

/** UCUM codes to enter in; the first is the one stored. */
export const METER_UNITS = {
  arcVoltage: ['V'],
  weldingCurrent: ['A'],
  gasFlow: ['L/min', '[cft_i]/h'],
  temperature: ['Cel', '[degF]'],
} as const satisfies Record<MeterCheck, readonly string[]>;

/** The unit offered first: that of this device where it is one of them. */
export function meterUnit(check: MeterCheck): string {
  const quantity = check === 'temperature' ? 'preheatTemperature' : check;
  const { code } = format().units[quantity];
  return METER_UNITS[check].find(unit => unit === code) ?? METER_UNITS[check][0];
}

export interface MeterForm extends CheckSettings {
  readonly state: 'asFound' | 'asLeft';
  readonly unit: string;
  readonly shown: string;
  readonly reference: string;
  readonly serial: string;
  /** Calibration due, yyyy-mm-dd. */
  readonly due: string;
  readonly referenceUncertainty: string;
}

export type MeterField =
  | 'shown'
  | 'reference'
  | 'serial'
  | 'due'
  | 'referenceUncertainty'
  | 'readingUncertainty'
  | 'limitPercent'
  | 'validHours';

/** Calibration is good through the day it falls due. */
const dueUtc = (date: string): string => `${date}T23:59:59.999Z`;
export const isOverdue = (form: MeterForm, nowMs: number): boolean => Date.parse(dueUtc(form.due)) < nowMs;

export function missingMeterFields(form: MeterForm): MeterField[] {
  const missing: MeterField[] = [];
  if (positive(form.shown, 100_000) === null) missing.push('shown');
  if (positive(form.reference, 100_000) === null) missing.push('reference');
  if (form.serial.trim() === '') missing.push('serial');
  if (Number.isNaN(Date.parse(dueUtc(form.due)))) missing.push('due');
  if (notNegative(form.referenceUncertainty, 10_000) === null) missing.push('referenceUncertainty');
  if (notNegative(form.readingUncertainty, 10_000) === null) missing.push('readingUncertainty');
  if (positive(form.limitPercent, 50) === null) missing.push('limitPercent');
  if (positive(form.validHours, 100_000) === null) missing.push('validHours');
  return missing;
}

export interface MeterResult {
  readonly check: Extract<Check, { check: MeterCheck }>;
  readonly verification: MeterVerification;
}

/**
 * The result of a complete form, in stored units; percent of the reference's reading, which for a temperature is its
 * reading in °C. A reference past its due date shows nothing: its uncertainty is not known any more.
 */
export function meterResult(check: MeterCheck, form: MeterForm, nowMs: number): Answer<MeterResult> {
  const [stored] = METER_UNITS[check];
  const typed = (text: string): number => typedNumber(text) ?? Number.NaN;
  const value = (text: string): number => convert(typed(text), form.unit, stored);
  // A difference: for a temperature scale the zero point drops out.
  const difference = (text: string): number => value(text) - convert(0, form.unit, stored);
  const [shown, reference] = [value(form.shown), value(form.reference)];
  const [ofReference, ofReading] = [
    difference(form.referenceUncertainty),
    difference(form.readingUncertainty),
  ];
  const limitPercent = typed(form.limitPercent);
  const answer = verifyMeter({
    displayed: shown,
    reference,
    referenceRelative: standardUncertainty({ value: ofReference, kind: 'limits' }) / reference,
    readingRelative: standardUncertainty({ value: ofReading, kind: 'limits' }) / reference,
    limit: limitPercent / 100,
  });
  if (answer.kind === 'outOfRange') return answer;
  const { error, expandedRelative } = answer.value;
  const result = isOverdue(form, nowMs) ? 'notShown' : answer.value.result;
  return {
    kind: 'value',
    value: {
      verification: { ...answer.value, result },
      check: {
        check,
        shown,
        reference,
        unit: stored,
        referenceSerial: form.serial.trim(),
        referenceDue: dueUtc(form.due),
        referenceUncertainty: ofReference,
        readingUncertainty: ofReading,
        errorPercent: error * 100,
        expandedUncertaintyPercent: (expandedRelative ?? 0) * 100,
        limitPercent,
        result,
        state: form.state,
      },
    },
  };
}
