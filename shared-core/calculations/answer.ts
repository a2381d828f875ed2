import { unitLabel } from '../units/unit-label.ts';

/**
 * What a computation says: a value, or that its inputs lie outside the range it holds for, with the range.
 * An expected failure is a value, never an exception and never a number that only looks like an answer.
 */
export type Answer<T = number> = { readonly kind: 'value'; readonly value: T } | OutOfRange;

export interface OutOfRange {
  readonly kind: 'outOfRange';
  /** One sentence naming the input, what was given and the range. */
  readonly text: string;
  readonly name: string;
  readonly unit: string;
  readonly given: number;
  readonly range: Range;
}

/** Ends included unless marked; an open end is −∞ or +∞. */
export interface Range {
  readonly min: number;
  readonly max: number;
  /** The lower end itself is outside, as 0 for a speed one divides by. */
  readonly above?: boolean;
}

export const POSITIVE: Range = { min: 0, max: Number.POSITIVE_INFINITY, above: true };
export const NOT_NEGATIVE: Range = { min: 0, max: Number.POSITIVE_INFINITY };

export const value = <T>(result: T): Answer<T> => ({ kind: 'value', value: result });

export const isWithin = (given: number, range: Range): boolean =>
  Number.isFinite(given) && (range.above ? given > range.min : given >= range.min) && given <= range.max;

/** The unit after a space, as people write it; nothing for a plain number. */
export const unitTail = (unit: string): string => (unitLabel(unit) === '' ? '' : ` ${unitLabel(unit)}`);

/** The range in words: `0.5 to 4 kJ/mm`, `above 0 mm`, `0 or more s`. */
export function rangeText(range: Range, unit: string): string {
  const tail = unitTail(unit);
  const open = range.max === Number.POSITIVE_INFINITY;
  if (range.above)
    return open ? `above ${range.min}${tail}` : `above ${range.min} and up to ${range.max}${tail}`;
  return open ? `${range.min}${tail} or more` : `${range.min} to ${range.max}${tail}`;
}

/** One input held against its range: name in words, value, unit, range. */
export type Bounded = readonly [name: string, given: number, unit: string, range: Range];

/** The first input outside its range, as an answer; null when all are inside. NaN and infinities are outside every range. */
export function outOfRange(...inputs: readonly Bounded[]): OutOfRange | null {
  for (const [name, given, unit, range] of inputs) {
    if (isWithin(given, range)) continue;
    const text = Number.isFinite(given)
      ? `${name} ${given}${unitTail(unit)} is out of range: ${rangeText(range, unit)}`
      : `${name} is not a finite number`;
    return { kind: 'outOfRange', text, name, unit, given, range };
  }
  return null;
}
