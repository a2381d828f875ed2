import { convert } from '#core/units/ucum';
import { manner } from '../../text/text.ts';
import { numberText, typedNumber } from '../../text/typed-number.ts';

export type LengthUnit = 'mm' | 'in';

/** The unit lengths are typed in first on this device. */
export const shownLengthUnit = (): LengthUnit => (manner.value.units === 'inch' ? 'in' : 'mm');

const UCUM = { mm: 'mm', in: '[in_i]' } as const;
const FRACTION = /^(?:(\d{1,5})[\s-]+)?(\d{1,3})\/(\d{1,3})$/;

/** A tape reading as people write it: a decimal, or in inches also `3 3/4`, `3-3/4`, `1/16`. Null when it is none. */
export function typedLength(typed: string, unit: LengthUnit): number | null {
  const [, whole = '0', over, under] = FRACTION.exec(typed.trim()) ?? [];
  if (unit === 'in' && over !== undefined && under !== undefined) {
    return Number(under) === 0 ? null : Number(whole) + Number(over) / Number(under);
  }
  return typedNumber(typed);
}

/** The same in mm. */
export function typedLengthMm(typed: string, unit: LengthUnit): number | null {
  const length = typedLength(typed, unit);
  return length === null ? null : convert(length, UCUM[unit], 'mm');
}

/** A stored length as text to be edited, without a rounding that would show. */
export function lengthText(mm: number | null, unit: LengthUnit): string {
  if (mm === null) return '';
  return numberText(Number(convert(mm, 'mm', UCUM[unit]).toFixed(unit === 'mm' ? 2 : 4)));
}
