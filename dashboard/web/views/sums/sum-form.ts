import { isWithin, type Range, rangeText } from '#core/calculations/answer';
import type { Calculation, CalculationInput, NumberInput } from '#core/calculations/calculation';
import type { Given } from '#core/calculations/given';
import { convert, isCommensurable } from '#core/units/ucum';
import { manner } from '../../text/text.ts';
import { typedNumber } from '../../text/typed-number.ts';
import { roundedAsShown } from './shown-number.ts';
import type { InputDraft, SumsMemory } from './sums-memory.ts';

export type SumDraft = Readonly<Record<string, InputDraft>>;

/** Where the unit the computation works in is not the one people say. */
const SAID_IN: Readonly<Record<string, string>> = {
  'wire feed speed': 'm/min',
  'wire fed since': 'm',
  'arc energy of the run': 'kJ',
};

/** Units of one kind of input, so that a unit chosen once is offered first everywhere. */
export const unitKey = (input: NumberInput): string => `${input.label}|${input.unit}`;

export const offered = (input: NumberInput): readonly string[] => [input.unit, ...(input.also ?? [])];

/** Where this device shows US units, the one of them that is offered: their UCUM codes are the bracketed ones. */
const usUnit = (input: NumberInput): string | undefined =>
  manner.value.units === 'inch' ? offered(input).find(unit => unit.includes('[')) : undefined;

function emptyDraft(input: CalculationInput, memory: SumsMemory): InputDraft {
  const plain = { plus: '', plusUnit: 'same', plusKind: 'limits' } as const;
  if (input.kind === 'choice') return { ...plain, value: input.fallback ?? '', unit: '' };
  const wanted = memory.units[unitKey(input)] ?? usUnit(input) ?? SAID_IN[input.label];
  return {
    ...plain,
    value: '',
    unit: wanted !== undefined && offered(input).includes(wanted) ? wanted : input.unit,
  };
}

/** Empty, or as last entered on this device; whatever no longer fits the catalogue starts empty. */
export function firstDraft(calculation: Calculation, memory: SumsMemory): SumDraft {
  const kept = memory.last[calculation.name]?.inputs ?? {};
  return Object.fromEntries(
    Object.entries(calculation.inputs).map(([key, input]) => {
      const last = kept[key];
      const fits =
        last !== undefined &&
        (input.kind === 'choice' ? input.choices.includes(last.value) : offered(input).includes(last.unit));
      return [key, fits ? last : emptyDraft(input, memory)];
    }),
  );
}

export type FieldProblem =
  | { readonly kind: 'missing' | 'notNumber' | 'plusNotNumber' }
  /** The plausible range in the unit chosen, in words. */
  | { readonly kind: 'implausible'; readonly range: string };

const isNeeded = (input: CalculationInput): boolean =>
  input.fallback === undefined && !(input.kind === 'number' && input.optional === true);

/** Inputs that must be entered, and choices, which change what is asked; the rest has a default or may be left out. */
export const standsFirst = (input: CalculationInput): boolean => isNeeded(input) || input.kind === 'choice';

const shownRange = (range: Range, from: string, to: string): Range => ({
  ...range,
  min: roundedAsShown(convert(range.min, from, to)),
  max: Number.isFinite(range.max) ? roundedAsShown(convert(range.max, from, to)) : Number.POSITIVE_INFINITY,
});

/** What keeps one input from being used; null when nothing does. */
export function fieldProblem(
  input: CalculationInput,
  draft: InputDraft,
  uncertainties: boolean,
): FieldProblem | null {
  if (draft.value.trim() === '') return isNeeded(input) ? { kind: 'missing' } : null;
  if (input.kind === 'choice') return null;
  const value = typedNumber(draft.value);
  if (value === null) return { kind: 'notNumber' };
  if (!isWithin(convert(value, draft.unit, input.unit), input.range)) {
    return {
      kind: 'implausible',
      range: rangeText(shownRange(input.range, input.unit, draft.unit), draft.unit),
    };
  }
  if (uncertainties && draft.plus.trim() !== '') {
    const plus = typedNumber(draft.plus);
    if (plus === null || plus < 0) return { kind: 'plusNotNumber' };
  }
  return null;
}

export function sumProblems(
  calculation: Calculation,
  draft: SumDraft,
  uncertainties: boolean,
): ReadonlyMap<string, FieldProblem> {
  const problems = new Map<string, FieldProblem>();
  for (const [key, input] of Object.entries(calculation.inputs)) {
    const problem = fieldProblem(input, draft[key]!, uncertainties);
    if (problem !== null) problems.set(key, problem);
  }
  return problems;
}

/** % beside a value that is itself a share would mean two things: there only its own unit is offered. */
export const takesPercent = (input: NumberInput): boolean => !isCommensurable(input.unit, '1');

/** What is entered, as runCalculation takes it; call only without problems. */
export function givenOf(
  calculation: Calculation,
  draft: SumDraft,
  uncertainties: boolean,
): ReadonlyMap<string, Given> {
  const given = new Map<string, Given>();
  for (const [key, input] of Object.entries(calculation.inputs)) {
    const { value, unit, plus, plusUnit, plusKind } = draft[key]!;
    if (value.trim() === '') continue;
    if (input.kind === 'choice') {
      given.set(key, { kind: 'text', text: value });
      continue;
    }
    const width = uncertainties ? typedNumber(plus) : null;
    given.set(key, {
      kind: 'number',
      value: typedNumber(value) ?? Number.NaN,
      unit: unit === '1' ? null : unit,
      uncertainty:
        width === null
          ? null
          : {
              value: width,
              unit: plusUnit === 'percent' && takesPercent(input) ? '%' : null,
              kind: plusKind,
            },
    });
  }
  return given;
}

/** Sentences of the catalogue name inputs by their key: shown with the words beside the field instead. */
export function withLabels(sentence: string, calculation: Calculation): string {
  let shown = sentence;
  for (const [key, input] of Object.entries(calculation.inputs)) {
    if (/[a-z][A-Z]/.test(key)) shown = shown.replaceAll(new RegExp(`\\b${key}\\b`, 'g'), input.label);
  }
  return shown.charAt(0).toUpperCase() + shown.slice(1);
}
