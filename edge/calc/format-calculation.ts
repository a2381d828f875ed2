import { unitTail } from '#core/calculations/answer';
import type { Calculation, CalculationInput } from '#core/calculations/calculation';
import { offeredUnits, type ResolvedInput } from '#core/calculations/resolve-input';
import type { CalculationRun, ShownResult } from '#core/calculations/run-calculation';

/** Five significant digits, without a tail of zeros: more than any input of this trade carries. */
export const formatNumber = (value: number): string => String(Number(value.toPrecision(5)));

const quantity = (value: number, unit: string): string => `${formatNumber(value)}${unitTail(unit)}`;

/** Two columns, the left one as wide as its widest cell. */
function columns(rows: readonly (readonly [string, string])[]): string {
  const width = Math.max(...rows.map(([left]) => left.length));
  return rows.map(([left, right]) => `  ${left.padEnd(width)}  ${right}`.trimEnd()).join('\n');
}

/** All calculations by group: what `calc` says with no arguments. */
export function listText(catalogue: readonly Calculation[]): string {
  const width = Math.max(...catalogue.map(entry => entry.name.length));
  const groups = [...new Set(catalogue.map(entry => entry.group))];
  const body = groups.map(group => {
    const lines = catalogue
      .filter(entry => entry.group === group)
      .map(entry => `  ${entry.name.padEnd(width)}  ${entry.title}`);
    return [group, ...lines].join('\n');
  });
  return [...body, 'girthlog-edge calc NAME shows the inputs of one.'].join('\n\n');
}

function inputHelp(input: CalculationInput): string {
  if (input.kind === 'choice') {
    const fallback = input.fallback === undefined ? '' : ` (${input.fallback} unless given)`;
    return `${input.label}: ${input.choices.join(', ')}${fallback}`;
  }
  const units = offeredUnits(input);
  const unit = units === '' ? '' : `, in ${units}`;
  if (input.optional) return `${input.label}${unit} (may be left out)`;
  return input.fallback === undefined
    ? `${input.label}${unit}`
    : `${input.label}${unit} (${quantity(input.fallback, input.unit)} unless given)`;
}

/** One calculation explained: what `calc NAME` says without inputs. */
export function sheetText(calculation: Calculation): string {
  const example = Object.entries(calculation.inputs)
    .filter(([, input]) => input.fallback === undefined && !(input.kind === 'number' && input.optional))
    .map(([key, input]) =>
      input.kind === 'choice' ? `${key}=${input.choices[0]}` : `${key}=…${unitTail(input.unit)}`,
    );
  return [
    `${calculation.title}\n`,
    columns([
      ['Formula', calculation.formula],
      ['Source', calculation.source],
      ['Holds for', calculation.validity],
      ['Checked', calculation.provenBy],
      ...(calculation.caution === null ? [] : [['Caution', calculation.caution] as const]),
    ]),
    '\nInputs',
    columns(Object.entries(calculation.inputs).map(([key, input]) => [key, inputHelp(input)] as const)),
    `\ngirthlog-edge calc ${calculation.name} ${example.join(' ')}`,
  ].join('\n');
}

function inputText(input: ResolvedInput): string {
  const { value, unit, given, isDefault, standardUncertainty } = input;
  if (value === null) return 'not given';
  if (typeof value === 'string' || unit === null) return `${value}${isDefault ? ' (default)' : ''}`;
  const shown =
    given === null
      ? quantity(value, unit)
      : `${formatNumber(given.value)}${unitTail(given.unit)} = ${quantity(value, unit)}`;
  const uncertainty =
    standardUncertainty === null ? '' : `, standard uncertainty ${quantity(standardUncertainty, unit)}`;
  return `${shown}${uncertainty}${isDefault ? ' (default)' : ''}`;
}

function resultText(result: ShownResult): string {
  const { value, unit, also, expandedUncertainty } = result;
  if (value === null) return 'unknown';
  if (typeof value === 'string' || unit === null) return String(value);
  const others = also.map(other => ` = ${quantity(other.value, other.unit)}`).join('');
  const uncertainty = expandedUncertainty === null ? '' : ` ± ${quantity(expandedUncertainty, unit)} (k = 2)`;
  return `${quantity(value, unit)}${uncertainty}${others}`;
}

/** A run that has an answer, or says out of range, for people. */
export function runText(calculation: Calculation, run: Exclude<CalculationRun, { kind: 'invalid' }>): string {
  return [
    `${calculation.title}\n`,
    'Inputs',
    columns(run.inputs.map(input => [input.label, inputText(input)] as const)),
    '\nResult',
    run.kind === 'value'
      ? columns(run.results.map(result => [result.label, resultText(result)] as const))
      : `  no answer: ${run.text}`,
    '',
    columns([
      ['Formula', calculation.formula],
      ['Source', calculation.source],
      ['Holds for', calculation.validity],
      ...(calculation.caution === null ? [] : [['Caution', calculation.caution] as const]),
    ]),
  ].join('\n');
}

/** The same as one JSON document: `girthlog.calculation/1`. */
export function runJson(calculation: Calculation, run: Exclude<CalculationRun, { kind: 'invalid' }>): string {
  const { name, title, formula, source, validity, caution } = calculation;
  const open = (end: number): number | null => (Number.isFinite(end) ? end : null);
  const answer =
    run.kind === 'value'
      ? { results: run.results, outOfRange: null }
      : {
          results: [],
          outOfRange: {
            text: run.text,
            name: run.name,
            unit: run.unit,
            min: open(run.range.min),
            max: open(run.range.max),
          },
        };
  return JSON.stringify(
    {
      schema: 'girthlog.calculation/1',
      name,
      title,
      inputs: run.inputs,
      ...answer,
      formula,
      source,
      validity,
      caution,
    },
    null,
    2,
  );
}
