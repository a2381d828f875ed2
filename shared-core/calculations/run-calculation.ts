import { COVERAGE_FACTOR, propagated } from '../statistics/uncertainty.ts';
import { convert } from '../units/ucum.ts';
import type { Range } from './answer.ts';
import type { Calculation, InputValues, Results } from './calculation.ts';
import type { Given } from './given.ts';
import { type ResolvedInput, resolveInput } from './resolve-input.ts';

export interface ShownResult {
  readonly key: string;
  readonly label: string;
  /** Null where there is no such value, as joints left without a joint's wire. */
  readonly value: number | string | null;
  /** UCUM code; null for a word. */
  readonly unit: string | null;
  /** The same value in the other units of the trade. */
  readonly also: readonly { readonly value: number; readonly unit: string }[];
  /** k = 2, in `unit`; null where no input carries an uncertainty, or none can be derived. */
  readonly expandedUncertainty: number | null;
}

export type CalculationRun =
  | {
      readonly kind: 'value';
      readonly inputs: readonly ResolvedInput[];
      readonly results: readonly ShownResult[];
    }
  /** The inputs are sound, but the formula does not hold for them. */
  | {
      readonly kind: 'outOfRange';
      readonly inputs: readonly ResolvedInput[];
      readonly text: string;
      readonly name: string;
      readonly unit: string;
      readonly range: Range;
    }
  | { readonly kind: 'invalid'; readonly problems: readonly string[] };

/**
 * Runs one calculation on what a person gave: every problem in its own sentence, or inputs and results with units, and the expanded
 * uncertainty of each result where inputs carry one (GUM, central differences over each standard uncertainty).
 */
export function runCalculation(calculation: Calculation, given: ReadonlyMap<string, Given>): CalculationRun {
  const problems: string[] = [];
  for (const key of given.keys()) {
    if (!(key in calculation.inputs)) {
      const known = Object.keys(calculation.inputs).join(', ');
      problems.push(`"${key}" is not an input of ${calculation.name}: it takes ${known}`);
    }
  }
  const inputs: ResolvedInput[] = [];
  for (const [key, input] of Object.entries(calculation.inputs)) {
    const resolution = resolveInput(key, input, given.get(key));
    if (resolution.kind === 'problem') problems.push(resolution.text);
    else inputs.push(resolution.input);
  }
  if (problems.length > 0) return { kind: 'invalid', problems };
  const values: InputValues = Object.fromEntries(inputs.map(({ key, value }) => [key, value]));
  const outcome = calculation.compute(values);
  if (outcome.kind === 'invalid') return { kind: 'invalid', problems: [outcome.text] };
  if (outcome.kind === 'outOfRange') {
    const { text, name, unit, range } = outcome;
    return { kind: 'outOfRange', inputs, text, name, unit, range };
  }
  return { kind: 'value', inputs, results: show(calculation, values, inputs, outcome.value) };
}

function show(
  calculation: Calculation,
  values: InputValues,
  inputs: readonly ResolvedInput[],
  results: Results,
): ShownResult[] {
  const uncertain = inputs.filter(input => input.standardUncertainty !== null);
  const at = uncertain.map(input => input.value as number);
  const widths = uncertain.map(input => input.standardUncertainty);
  const outcomeWith = (changed: readonly number[]): Results | null => {
    const moved = { ...values };
    uncertain.forEach(({ key }, i) => {
      moved[key] = changed[i]!;
    });
    const outcome = calculation.compute(moved);
    return outcome.kind === 'value' ? outcome.value : null;
  };
  return Object.entries(calculation.outputs).map(([key, output]) => {
    const raw = results[key] ?? null;
    const value = typeof raw === 'number' && !Number.isFinite(raw) ? null : raw;
    const { unit } = output;
    const standard =
      typeof value === 'number' && output.stepped !== true && uncertain.length > 0
        ? propagated(
            changed => {
              const result = outcomeWith(changed)?.[key];
              return typeof result === 'number' ? result : null;
            },
            at,
            widths,
          )
        : null;
    return {
      key,
      label: output.label,
      value,
      unit,
      also:
        typeof value === 'number' && unit !== null
          ? (output.also ?? []).map(other => ({ value: convert(value, unit, other), unit: other }))
          : [],
      expandedUncertainty: standard === null ? null : COVERAGE_FACTOR * standard,
    };
  });
}
