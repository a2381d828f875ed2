import { standardUncertainty } from '../statistics/uncertainty.ts';
import { convert, isCommensurable } from '../units/ucum.ts';
import { unitFromText, unitLabel } from '../units/unit-label.ts';
import { isWithin, rangeText, unitTail } from './answer.ts';
import type { CalculationInput, ChoiceInput, NumberInput } from './calculation.ts';
import type { Given, GivenUncertainty } from './given.ts';

/** An input ready to compute with, and how to show it. */
export interface ResolvedInput {
  readonly key: string;
  readonly label: string;
  /** In `unit`; a word for a choice; null where an optional input was left out. */
  readonly value: number | string | null;
  /** UCUM code; null for a choice. */
  readonly unit: string | null;
  /** As given, where that was another unit. */
  readonly given: { readonly value: number; readonly unit: string } | null;
  /** True where nothing was given and the default stands. */
  readonly isDefault: boolean;
  /** Standard uncertainty (k = 1) in `unit`; null when none was stated. */
  readonly standardUncertainty: number | null;
}

export type Resolution =
  | { readonly kind: 'input'; readonly input: ResolvedInput }
  | { readonly kind: 'problem'; readonly text: string };

const problem = (text: string): Resolution => ({ kind: 'problem', text });

/** Units offered for an input, as people write them. */
export const offeredUnits = (input: NumberInput): string =>
  [input.unit, ...(input.also ?? [])]
    .map(unitLabel)
    .filter(label => label !== '')
    .join(', ');

/** One given value held against its input: unit understood, converted, inside the plausible range. */
export function resolveInput(key: string, input: CalculationInput, given: Given | undefined): Resolution {
  return input.kind === 'choice' ? resolveChoice(key, input, given) : resolveNumber(key, input, given);
}

function resolveChoice(key: string, input: ChoiceInput, given: Given | undefined): Resolution {
  const plain = { key, label: input.label, unit: null, given: null, standardUncertainty: null };
  if (given === undefined) {
    if (input.fallback === undefined) {
      return problem(`${key} (${input.label}) is missing: ${input.choices.join(', ')}`);
    }
    return { kind: 'input', input: { ...plain, value: input.fallback, isDefault: true } };
  }
  const text = given.kind === 'text' ? given.text : `${given.value}${given.unit ?? ''}`;
  const choice = input.choices.find(option => option.toLowerCase() === text.toLowerCase());
  if (choice === undefined) return problem(`${key} "${text}" is not one of ${input.choices.join(', ')}`);
  return { kind: 'input', input: { ...plain, value: choice, isDefault: false } };
}

function resolveNumber(key: string, input: NumberInput, given: Given | undefined): Resolution {
  const plain = { key, label: input.label, unit: input.unit };
  if (given === undefined) {
    if (input.fallback === undefined && input.optional === undefined) {
      const units = offeredUnits(input);
      return problem(`${key} (${input.label}) is missing${units === '' ? '' : `: give it in ${units}`}`);
    }
    const value = input.fallback ?? null;
    return {
      kind: 'input',
      input: { ...plain, value, given: null, isDefault: true, standardUncertainty: null },
    };
  }
  if (given.kind === 'text') {
    const comma = /^[+-]?\d+,\d/.test(given.text) ? ': write the decimal with a point' : '';
    return problem(`${key} "${given.text}" is not a number${comma}`);
  }
  const unit = unitOf(key, input, given.value, given.unit);
  if (unit.kind === 'problem') return unit;
  const value = convert(given.value, unit.code, input.unit);
  if (!Number.isFinite(value)) return problem(`${key} (${input.label}) is not a finite number`);
  const shown = `${given.value}${unitTail(unit.code)}`;
  if (!isWithin(value, input.range)) {
    const same = unit.code === input.unit ? '' : ` (${Number(value.toPrecision(5))}${unitTail(input.unit)})`;
    return problem(`${key} ${shown}${same} is out of range: ${rangeText(input.range, input.unit)}`);
  }
  const uncertainty = uncertaintyOf(key, input, given.value, unit.code, given.uncertainty);
  if (uncertainty.kind === 'problem') return uncertainty;
  return {
    kind: 'input',
    input: {
      ...plain,
      value,
      given: unit.code === input.unit ? null : { value: given.value, unit: unit.code },
      isDefault: false,
      standardUncertainty: uncertainty.value,
    },
  };
}

type Unit =
  | { readonly kind: 'unit'; readonly code: string }
  | { readonly kind: 'problem'; readonly text: string };

function unitOf(key: string, input: NumberInput, value: number, text: string | null): Unit {
  if (text === null) {
    if (input.unit === '1') return { kind: 'unit', code: '1' };
    return { kind: 'problem', text: `${key} ${value} has no unit: give ${offeredUnits(input)}` };
  }
  const code = unitFromText(text);
  if (code === null) {
    return {
      kind: 'problem',
      text: `${key}: "${text}" is not a unit known here: give ${unitsOrNone(input)}`,
    };
  }
  if (!isCommensurable(code, input.unit)) {
    return {
      kind: 'problem',
      text: `${key}: ${unitLabel(code)} is not a unit of ${input.label}: give ${unitsOrNone(input)}`,
    };
  }
  return { kind: 'unit', code };
}

const unitsOrNone = (input: NumberInput): string => {
  const units = offeredUnits(input);
  return units === '' ? 'a plain number' : units;
};

type Uncertainty =
  | { readonly kind: 'uncertainty'; readonly value: number | null }
  | { readonly kind: 'problem'; readonly text: string };

function uncertaintyOf(
  key: string,
  input: NumberInput,
  value: number,
  valueUnit: string,
  stated: GivenUncertainty | null,
): Uncertainty {
  if (stated === null) return { kind: 'uncertainty', value: null };
  if (!(Number.isFinite(stated.value) && stated.value >= 0)) {
    return { kind: 'problem', text: `${key}: an uncertainty of ${stated.value} is not 0 or more` };
  }
  const share = isCommensurable(input.unit, '1');
  let size = stated.value;
  if (stated.unit === '%' && !share) {
    size = (Math.abs(value) * stated.value) / 100;
  } else if (stated.unit !== null) {
    const code = unitFromText(stated.unit);
    if (code === null || !isCommensurable(code, valueUnit)) {
      return { kind: 'problem', text: `${key}: "${stated.unit}" is not a unit for its uncertainty` };
    }
    size = convert(stated.value, code, valueUnit) - convert(0, code, valueUnit);
  }
  // A difference, so that a scale with its own zero (°C, °F) converts too.
  const inUnit = Math.abs(
    convert(value + size, valueUnit, input.unit) - convert(value, valueUnit, input.unit),
  );
  return {
    kind: 'uncertainty',
    value: standardUncertainty({ value: inUnit, kind: stated.kind }),
  };
}
