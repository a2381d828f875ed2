import { type Command, Option } from 'commander';
import { CATALOGUE, calculationNamed } from '#core/calculations/catalogue';
import { type GivenSet, givenFromJson, givenFromWords } from '#core/calculations/given';
import { runCalculation } from '#core/calculations/run-calculation';
import { EXIT, ProgramError } from '#core/program/program-error';
import { listText, runJson, runText, sheetText } from './format-calculation.ts';

const EXAMPLES = `
Examples:
  girthlog-edge calc                                      list the calculations
  girthlog-edge calc travel-check                         what one needs, its formula and source
  girthlog-edge calc arc-energy-means voltage=24 V current=236 A travelSpeed=7.5 mm/s
  girthlog-edge calc arc-energy-means voltage=24 V ± 1 % current=236 A ± 1.5 % travelSpeed=17.7 in/min ± 2 %
  girthlog-edge calc preheat --json '{"cet": "0.3 %", "thickness": "20 mm", "hydrogen": "5 ml/100g", "heatInput": "1 kJ/mm"}'

Units are UCUM codes or the trade's own (in/min, °F, lb/h). ± is the limits of an instrument unless "standard" follows.
Exit codes: 0 answered, 2 bad input, 4 outside the range the formula holds for.
A number is not acceptance: the code, the procedure and qualified, authorised persons decide.`;

interface CalcOptions {
  readonly json?: string;
  readonly output: 'text' | 'json';
}

const print = (text: string): void => {
  process.stdout.write(`${text}\n`);
};

function runCalc(name: string | undefined, words: readonly string[], options: CalcOptions): void {
  if (name === undefined) {
    if (options.json !== undefined)
      throw new ProgramError('--json needs the name of a calculation', EXIT.usage);
    print(listText(CATALOGUE));
    return;
  }
  const calculation = calculationNamed(name);
  if (calculation === null) {
    throw new ProgramError(`"${name}" is not a calculation: girthlog-edge calc lists them`, EXIT.usage);
  }
  if (options.json === undefined && words.length === 0) {
    print(sheetText(calculation));
    return;
  }
  if (options.json !== undefined && words.length > 0) {
    throw new ProgramError('give the inputs as --json or as key=value words, not both', EXIT.usage);
  }
  const set: GivenSet = options.json === undefined ? givenFromWords(words) : givenFromJson(options.json);
  if (set.kind === 'invalid') throw new ProgramError(set.problems.join('\n'), EXIT.usage);
  const run = runCalculation(calculation, set.given);
  if (run.kind === 'invalid') throw new ProgramError(run.problems.join('\n'), EXIT.usage);
  print(options.output === 'json' ? runJson(calculation, run) : runText(calculation, run));
  if (run.kind === 'outOfRange') process.exitCode = EXIT.nothingFound;
}

/** `girthlog-edge calc`: every number of the trade from the catalogue, with its formula and source. Reads nothing, writes stdout. */
export function addCalcCommand(program: Command): void {
  program
    .command('calc')
    .description('work out a number of the trade, with its formula, source and uncertainty')
    .argument('[name]', 'which calculation; all are listed without it')
    .argument('[inputs...]', 'key=value unit, such as travelSpeed=7.5 mm/s')
    .option('--json <inputs>', 'the inputs as one JSON object, key to "value unit"')
    .addOption(new Option('--output <form>', 'how to answer').choices(['text', 'json']).default('text'))
    .addHelpText('after', EXAMPLES)
    .action((name: string | undefined, words: string[], options: CalcOptions) =>
      runCalc(name, words, options),
    );
}
