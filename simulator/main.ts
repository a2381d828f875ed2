#!/usr/bin/env node
import { Command, InvalidArgumentError, Option } from 'commander';
import { stringify } from 'smol-toml';
import { EXIT } from '#core/program/program-error';
import { isTopicId } from '#core/topics/topics';
import { OutputError } from './output/byte-output.ts';
import { RATES_HZ, type RunFlags, runCommand } from './run/run-command.ts';
import { DEMO_SCENARIO } from './scenario/demo-scenario.ts';
import { ScenarioError } from './scenario/load-scenario.ts';
import type { FromRecording } from './training/lesson-from-recording.ts';
import { fromRecordingCommand, lessonCheckCommand, lessonsCommand } from './training/lessons-command.ts';
import { type TrainFlags, trainCommand } from './training/train-command.ts';

const RUN_EXAMPLES = `  girthlog-simulator run
      two rigs, one a side of the same joint, each on a free TCP port (printed)
  girthlog-simulator run --output tcp://127.0.0.1:7001 --format binary --rate 1000
      rig-a on port 7001, rig-b on 7002, binary frames, 1000 readings a second
  girthlog-simulator run --rigs 1 --output serial:///dev/ttyUSB0?baud=115200
      one rig that talks on a serial line
  girthlog-simulator run --joints 1 --output file:///tmp/{rig}.txt --truth /tmp/{rig}-true.csv
      one joint as recordings, as fast as possible, with the true values beside them
  girthlog-simulator scenario > my-scenario.toml
      the built-in scenario to begin from`;

const LESSON_EXAMPLES = `  girthlog-simulator train
      lessons for a crew: a dashboard of its own, rigs under the trainer's control, two links
  girthlog-simulator lessons
      what can be taught with it
  girthlog-simulator lesson check my-lessons/monday.toml
      says what happens in a lesson of your own, or what is wrong in its file`;

const examples = (...lines: readonly string[]): string => `Examples:
${lines.join('\n')}

Everything it sends says of itself that it is simulated. It welds nothing and commands nothing.
`;

function number(min: number, max: number, whole: boolean): (text: string) => number {
  return text => {
    const value = Number(text);
    if (text.trim() === '' || !Number.isFinite(value) || value < min || value > max) {
      throw new InvalidArgumentError(`give a number from ${min} to ${max}.`);
    }
    if (whole && !Number.isInteger(value)) throw new InvalidArgumentError('give a whole number.');
    return value;
  };
}

function rate(text: string): number {
  const found = RATES_HZ.find(value => value === Number(text));
  if (found === undefined) throw new InvalidArgumentError(`give one of ${RATES_HZ.join(', ')}.`);
  return found;
}

const program = new Command('girthlog-simulator')
  .description('Simulated girth-welding rigs: physics in, the bytes of a measuring device out.')
  .addHelpText('before', examples(RUN_EXAMPLES, LESSON_EXAMPLES))
  .exitOverride();

program
  .command('run')
  .addHelpText('before', examples(RUN_EXAMPLES))
  .description('weld joints until stopped, or as many as asked')
  .option(
    '--output <url...>',
    'tcp://host:port, serial:///dev/…?baud=, file:///path; one a rig, or one for all',
    ['tcp://127.0.0.1:0'],
  )
  .addOption(new Option('--format <form>', 'frames').choices(['text', 'binary']).default('text'))
  .option('--rate <Hz>', `readings a second: ${RATES_HZ.join(', ')}`, rate, 50)
  .option('--speed <factor>', 'simulated seconds a second', number(0.01, 1000, false), 1)
  .option('--seed <n>', 'the same seed gives the same bytes', number(0, 0xffff_ffff, true), 1)
  .option(
    '--rigs <n>',
    'how many rigs; more than the scenario has come as further crews',
    number(1, 64, true),
  )
  .option('--scenario <file>', 'what is welded and what goes wrong (TOML); built in without it')
  .option('--first-joint <n>', 'number of the first joint', number(0, 999_999, true))
  .option('--joints <n>', 'how many joints; 0 is without end', number(0, 1_000_000, true))
  .option('--duration <s>', 'stop after so many simulated seconds', number(0.1, 1e7, false))
  .option('--boot <n>', "the devices' start count", number(0, 0xffff_ffff, true), 1)
  .option('--first-us <n>', "where the devices' 32-bit µs counters start", number(0, 0xffff_ffff, true), 0)
  .option('--truth <file>', 'also write the true values (comma-separated); {rig} stands for the rig')
  .option('--json', 'one JSON object a line instead of sentences')
  .action((flags: RunFlags) => runCommand(flags));

program
  .command('scenario')
  .addHelpText('before', examples(RUN_EXAMPLES))
  .description('print the built-in scenario as TOML')
  .action(() => {
    process.stdout.write(`${stringify(JSON.parse(JSON.stringify(DEMO_SCENARIO)))}\n`);
  });

program
  .command('train')
  .addHelpText('before', examples(LESSON_EXAMPLES))
  .description('lessons for a crew, with a dashboard, a broker and a site of their own')
  .option('--port <n>', 'port of the dashboard; 0 takes a free one', number(0, 65_535, true), 8081)
  .option('--mqtt-port <n>', 'port of the broker, or the next free one', number(0, 65_535, true), 1883)
  .option('--data <folder>', 'where data and logs are kept', './girthlog-data/training')
  .option('--site <id>', 'name of the site, never that of a real one', siteId, 'training')
  .option('--lessons <folder...>', 'folders with lessons of your own, beside those that ship')
  .action(async (flags: TrainFlags) => {
    process.exitCode = await trainCommand(flags);
  });

program
  .command('lessons')
  .addHelpText('before', examples(LESSON_EXAMPLES))
  .description('list the lessons')
  .option('--json', 'one JSON document')
  .option('--lessons <folder...>', 'folders with lessons of your own, beside those that ship')
  .action((flags: { json?: boolean; lessons?: readonly string[] }) => lessonsCommand(flags));

const lesson = program
  .command('lesson')
  .description('make and check lessons')
  .addHelpText('beforeAll', examples(LESSON_EXAMPLES));
lesson
  .command('check')
  .argument('<file>', 'a lesson (TOML)')
  .description('validate a lesson, and say what happens in it')
  .action((file: string) => lessonCheckCommand(file));
lesson
  .command('from-recording')
  .argument('<file>', 'a delimited recording, or samples.csv of an export')
  .description('make a lesson of a recorded joint, names removed')
  .requiredOption(
    '--map <file>',
    'which column is what: the map of girthlog-edge replay; an export carries one',
  )
  .requiredOption('--id <id>', 'name of the lesson and of its files', siteId)
  .requiredOption('--pass <name>', 'which pass of the example procedure it is shown as')
  .addOption(new Option('--side <side>', 'which side it is shown as').choices(['A', 'B']).default('A'))
  .option('--title <text>', 'what the lesson is called', 'A recorded pass')
  .option('--folder <folder>', 'where the two files are written', '.')
  .action((file: string, flags: Omit<FromRecording, 'recording'>) =>
    fromRecordingCommand({ ...flags, recording: file }),
  );

function siteId(text: string): string {
  if (isTopicId(text)) return text;
  throw new InvalidArgumentError('use a-z, 0-9 and "-", at most 64 characters.');
}

function fail(error: unknown): number {
  if (error instanceof ScenarioError || error instanceof OutputError) {
    process.stderr.write(`girthlog-simulator: ${error.message}\n`);
    return error instanceof ScenarioError ? EXIT.configuration : EXIT.device;
  }
  // Commander has already said what it did not understand; help asked for is a result.
  if (error instanceof Error && error.name === 'CommanderError') {
    return (error as Error & { exitCode: number }).exitCode === 0 ? EXIT.ok : EXIT.usage;
  }
  process.stderr.write(`girthlog-simulator: ${error instanceof Error ? error.message : String(error)}\n`);
  return EXIT.internal;
}

// Nobody reads any more: what started this simulator is gone, or has seen enough.
process.stdout.on('error', () => process.exit(EXIT.ok));

try {
  await program.parseAsync();
} catch (error) {
  process.exitCode = fail(error);
}
