import type { ShownQuantity } from '#core/units/shown-units';
import type { DecimalSign } from './languages.ts';
import { format, manner } from './text.ts';

const SIGNS: Readonly<Record<DecimalSign, { readonly own: string; readonly other: string }>> = {
  point: { own: '.', other: ',' },
  comma: { own: ',', other: '.' },
};
const NUMBER = /^[+-]?(\d{1,12}(\.\d{0,9})?|\.\d{1,9})$/;
const minus = (typed: string): string => typed.trim().replace('−', '-');

/**
 * True where what is typed may be one of two numbers: the sign that is not the one in use, with exactly three digits
 * after it, may have meant thousands; both signs in one number have.
 */
export function isAmbiguousIn(typed: string, decimal: DecimalSign): boolean {
  const { own, other } = SIGNS[decimal];
  const clean = minus(typed);
  if (!clean.includes(other)) return false;
  if (clean.includes(own) || clean.indexOf(other) !== clean.lastIndexOf(other)) return /\d/.test(clean);
  const [whole = '', part = ''] = clean.replace(/^[+-]/, '').split(other);
  return /^[1-9]\d{0,2}$/.test(whole) && /^\d{3}$/.test(part);
}

/** A number as a person types it; null where it is none, or may be one of two. */
export function typedNumberIn(typed: string, decimal: DecimalSign): number | null {
  if (isAmbiguousIn(typed, decimal)) return null;
  const clean = minus(typed).replace(',', '.');
  return NUMBER.test(clean) ? Number(clean) : null;
}

/** The same with the decimal sign of this device. */
export const typedNumber = (typed: string): number | null => typedNumberIn(typed, manner.value.decimal);
export const isAmbiguous = (typed: string): boolean => isAmbiguousIn(typed, manner.value.decimal);

/** A number as text to be edited, with the decimal sign of this device. */
export const numberText = (value: number): string => format().signed(String(value));

/** What is typed in the unit shown, as it is stored; null where it is no number. */
export function typedStored(quantity: ShownQuantity, typed: string): number | null {
  const value = typedNumber(typed);
  return value === null ? null : format().units[quantity].toStored(value);
}

/** Digits after the decimal sign kept in a field beyond those shown: what is stored stays what it was to them. */
const MORE_DECIMALS = 2;

/** A stored value as text to be edited in the unit shown; empty for none. */
export function storedText(quantity: ShownQuantity, stored: number | null | undefined): string {
  if (stored === null || stored === undefined) return '';
  const { shown, decimals } = format().units[quantity];
  return numberText(Number(shown(stored).toFixed(decimals + MORE_DECIMALS)));
}
