import { Command } from 'commander';
import { afterEach, expect, test, vi } from 'vitest';
import { CATALOGUE } from '#core/calculations/catalogue';
import { ProgramError } from '#core/program/program-error';
import { addCalcCommand } from '../../../edge/calc/calc-command.ts';

afterEach(() => {
  vi.restoreAllMocks();
  process.exitCode = undefined;
});

function calc(...words: string[]): { stdout: string; exitCode: unknown; message: string | null } {
  const stdout: string[] = [];
  vi.spyOn(process.stdout, 'write').mockImplementation(chunk => {
    stdout.push(String(chunk));
    return true;
  });
  const program = new Command('girthlog-edge').exitOverride();
  addCalcCommand(program);
  try {
    program.parse(['calc', ...words], { from: 'user' });
    return { stdout: stdout.join(''), exitCode: process.exitCode ?? 0, message: null };
  } catch (error) {
    if (!(error instanceof ProgramError)) throw error;
    return { stdout: stdout.join(''), exitCode: error.exitCode, message: error.message };
  } finally {
    vi.restoreAllMocks();
  }
}

test('no arguments lists every calculation', () => {
  const { stdout, exitCode } = calc();
  for (const { name, title } of CATALOGUE)
    expect(stdout).toMatch(new RegExp(`^  ${name} +${title.slice(0, 10)}`, 'm'));
  expect(exitCode).toBe(0);
});

test('a name alone shows its inputs, formula, source and caution', () => {
  const { stdout } = calc('travel-check');
  expect(stdout).toContain('length measured, in mm, m, in');
  expect(stdout).toContain('The carriage moves during the run');
  expect(stdout).toContain('where the tape lay: band, pipe (band unless given)');
  expect(stdout).toContain('girthlog-edge calc travel-check distance=… mm time=… s displayed=… mm/s');
});

// 29 V, 325 A, 12.5 in/min: Welding inspection forum, "Heat Input Caculation" worked example: 45.24 kJ/in.
test('words: inputs with units, result in both units, formula and source', () => {
  const { stdout, exitCode } = calc(
    'arc-energy-means',
    'voltage=29',
    'V',
    'current=325A',
    'travelSpeed=12.5',
    'in/min',
  );
  expect(exitCode).toBe(0);
  expect(stdout).toMatch(/travel speed +12\.5 in\/min = 5\.2917 mm\/s/);
  expect(stdout).toMatch(/arc energy +1\.7811 kJ\/mm = 45\.24 kJ\/in/);
  expect(stdout).toContain('E = U · I / (1000 · v)');
  expect(stdout).toContain('ISO/TR 18491');
  expect(stdout).toContain('A number is not acceptance');
});

test('uncertainty is shown where inputs carry one', () => {
  const { stdout } = calc(
    'arc-energy-means',
    'voltage=24 V ± 1 % standard',
    'current=236 A',
    'travelSpeed=7.5 mm/s',
  );
  expect(stdout).toMatch(/arc voltage +24 V, standard uncertainty 0\.24 V/);
  expect(stdout).toMatch(/arc energy +0\.7552 kJ\/mm ± 0\.015104 kJ\/mm \(k = 2\) = 19\.182 kJ\/in/);
});

test('--json in, --output json out', () => {
  const { stdout } = calc(
    'arc-energy-means',
    '--json',
    '{"voltage":"20 V","current":"300 A","travelSpeed":"2.5 mm/s"}',
    '--output',
    'json',
  );
  expect(JSON.parse(stdout)).toMatchObject({
    schema: 'girthlog.calculation/1',
    name: 'arc-energy-means',
    outOfRange: null,
    results: [{ key: 'arcEnergy', value: expect.closeTo(2.4, 9), unit: 'kJ/mm', expandedUncertainty: null }],
  });
});

test('outside the range of the formula: the range on stdout, no number, exit 4', () => {
  const words = ['cet=0.3 %', 'thickness=20 mm', 'hydrogen=5 ml/100 g', 'heatInput=0.35 kJ/mm'];
  const text = calc('preheat', ...words);
  expect(text.exitCode).toBe(4);
  expect(text.stdout).toContain('no answer: heat input 0.35 kJ/mm is out of range: 0.5 to 4 kJ/mm');
  const json = JSON.parse(calc('preheat', '--output', 'json', ...words).stdout);
  expect(json).toMatchObject({ results: [], outOfRange: { min: 0.5, max: 4, unit: 'kJ/mm' } });
});

test.each([
  [['no-such-thing'], '"no-such-thing" is not a calculation: girthlog-edge calc lists them'],
  [
    ['arc-time', 'length=300 mm'],
    'travelSpeed (travel speed) is missing: give it in mm/s, mm/min, cm/min, in/min',
  ],
  [
    ['arc-time', '--json', '{"length": 300, "travelSpeed": "7.5 mm/s"}'],
    'length 300 has no unit: give mm, m, in',
  ],
  [['arc-time', '--json', '{'], 'the JSON cannot be read'],
  [['arc-time', '--json', '{}', 'length=1 mm'], 'give the inputs as --json or as key=value words, not both'],
  [['--json', '{}'], '--json needs the name of a calculation'],
  [['arc-time', 'oops'], '"oops" is not key=value unit'],
])('bad input %j is one sentence, nothing on stdout, exit 2', (words, message) => {
  expect(calc(...words)).toEqual({ stdout: '', exitCode: 2, message });
});

test('several problems are several sentences', () => {
  expect(calc('arc-time', 'length=0 mm', 'travelSpeed=-1 mm/s').message!.split('\n')).toEqual([
    'length 0 mm is out of range: above 0 and up to 1000000 mm',
    'travelSpeed -1 mm/s is out of range: above 0 and up to 200 mm/s',
  ]);
});
