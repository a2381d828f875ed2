import { unitLabel } from '../units/unit-label.ts';
import { rangeText, unitTail } from './answer.ts';
import type { Calculation, CalculationInput } from './calculation.ts';
import { CATALOGUE } from './catalogue.ts';
import { offeredUnits } from './resolve-input.ts';

const cell = (text: string): string => text.replaceAll('|', '\\|');

function inputRow(key: string, input: CalculationInput): string {
  if (input.kind === 'choice') {
    return `| \`${key}\` | ${cell(input.label)} | ${cell(input.choices.join(', '))} | ${input.fallback ?? 'none'} |`;
  }
  const fallback = input.fallback === undefined ? 'none' : `${input.fallback}${unitTail(input.unit)}`;
  const units = offeredUnits(input);
  return `| \`${key}\` | ${cell(input.label)} | ${units === '' ? '' : `${units}; `}${rangeText(input.range, input.unit)} | ${input.optional ? 'may be left out' : fallback} |`;
}

function section(calculation: Calculation): string {
  const outputs = Object.values(calculation.outputs)
    .map(output => {
      const units = [output.unit, ...(output.also ?? [])]
        .map(unit => (unit === null ? '' : unitLabel(unit)))
        .filter(unit => unit !== '');
      return units.length === 0 ? output.label : `${output.label} (${units.join(', ')})`;
    })
    .join('; ');
  return [
    `### \`${calculation.name}\`: ${calculation.title}`,
    '',
    `    ${calculation.formula}`,
    '',
    `- **Gives:** ${outputs}`,
    `- **Source:** ${calculation.source}`,
    `- **Holds for:** ${calculation.validity}`,
    `- **Checked against:** ${calculation.provenBy}`,
    ...(calculation.caution === null ? [] : [`- **Caution:** ${calculation.caution}`]),
    '',
    '| Input | Meaning | Units and plausible range, or choices | Default |',
    '|---|---|---|---|',
    ...Object.entries(calculation.inputs).map(([key, input]) => inputRow(key, input)),
  ].join('\n');
}

const HEAD = `# Calculations

Every number Girthlog can work out for a person, from the catalogue in \`shared-core/calculations\`. This page is generated:
\`npx vitest run --config .config/vitest.config.ts tests/unit/calculations -u\` writes it anew, and a test fails when it is stale.

On the command line: \`girthlog-edge calc\` lists them, \`girthlog-edge calc NAME\` shows one, and

    girthlog-edge calc arc-energy-means voltage=24 V ± 1 % current=236 A ± 1.5 % travelSpeed=7.5 mm/s ± 2 %

answers with inputs, result, uncertainty, formula and source. Units are UCUM codes or as written here (\`in/min\`, \`°F\`). An uncertainty after ± is
the limits of an instrument (÷ √3) unless \`standard\` follows it; results show the expanded uncertainty (k = 2).

"Derived" means worked out apart from the code, with no publisher. "From memory" means a value nobody has checked against the paper. A range is
what is plausible for the input; outside the validity of a formula there is no answer, only the range.

**Monitoring only. A number is not acceptance: the code, the procedure and qualified, authorised persons decide.**
`;

/** docs/calculations.md, whole. */
export function calculationsPage(): string {
  const groups = [...new Set(CATALOGUE.map(entry => entry.group))];
  const body = groups.map(group =>
    [`## ${group}`, ...CATALOGUE.filter(entry => entry.group === group).map(section)].join('\n\n'),
  );
  return `${[HEAD, ...body]
    .join('\n')
    .replaceAll(/\n(## )/g, '\n\n$1')
    .replaceAll(/\n{3,}/g, '\n\n')
    .trimEnd()}\n`;
}
