import type { Check } from '#core/journal/rig-entries';
import { convert } from '#core/units/ucum';
import { unitLabel } from '#core/units/unit-label';
import { format, text } from '../../text/text.ts';
import { numberText } from '../../text/typed-number.ts';

/** Four figures: enough to see a share of a percent, in any unit. */
export function figures(value: number): string {
  if (!Number.isFinite(value) || value === 0) return format().fixed(value, 0);
  return format().fixed(value, Math.min(6, Math.max(0, 3 - Math.floor(Math.log10(Math.abs(value))))));
}

export const withUnit = (value: number, unit: string): string => `${figures(value)} ${unitLabel(unit)}`;

/** A stored speed in the unit it is entered in. */
export const speedText = (mmPerS: number, unit: string): string =>
  withUnit(convert(mmPerS, 'mm/s', unit), unit);

/** "4.0 % high": the sign as a word. */
export function errorText(percent: number): string {
  const t = text.value.verify.result;
  const size = format().fixed(Math.abs(percent), 1);
  if (Number(percent.toFixed(1)) === 0) return t.exact;
  return percent > 0 ? t.high(size) : t.low(size);
}

export function limitText(percent: number): string {
  const t = text.value.verify.result;
  const shown = numberText(Number(percent.toFixed(2)));
  return percent === 2 ? t.limitFromMemory(shown) : t.limit(shown);
}

/** One line for a stored check: word and size of the error. */
export function outcomeText(outcome: Check): string {
  const t = text.value.verify.result;
  const word = outcome.result === 'pass' ? t.pass : outcome.result === 'fail' ? t.fail : t.notShown;
  const size =
    outcome.check === 'clock'
      ? t.ms(format().fixed(outcome.offsetMs, 0))
      : `${errorText(outcome.errorPercent)} ${t.uncertainty(format().fixed(outcome.expandedUncertaintyPercent, 1))}`;
  return `${word}: ${size}`;
}
