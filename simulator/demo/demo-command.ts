import { Command, InvalidArgumentError } from 'commander';
import { EXIT, ProgramError } from '#core/program/program-error';
import { DataFolder } from './data-folder.ts';
import { Demo } from './demo.ts';
import { checkPort } from './port-check.ts';
import { onStopSignal } from './stop-signal.ts';

interface DemoFlags {
  readonly port: number;
  readonly mqttPort: number;
  readonly data: string;
  readonly seed: number;
}

const EXAMPLES = `Examples:
  npm start
      two simulated rigs, an edge for each, broker and dashboard on http://127.0.0.1:8080
  npm start -- --port 8090
      the dashboard on another port
  npm start -- --data /tmp/try
      keep the data elsewhere

Cautions: the logger is monitoring only: not a safety device, interlock or emergency stop; it never commands
a rig. No alarm is not acceptance. Example limits are not a procedure.
`;

function wholeNumber(most: number): (text: string) => number {
  return text => {
    const value = Number(text);
    if (!/^\d+$/.test(text) || value > most) {
      throw new InvalidArgumentError(`give a whole number from 0 to ${most}.`);
    }
    return value;
  };
}

/** `npm start`. Resolves with the exit code once everything has stopped. */
export async function demoCommand(args: readonly string[]): Promise<number> {
  const program = new Command('npm start --')
    .description('The main job on this machine, with two simulated rigs.')
    .addHelpText('beforeAll', EXAMPLES)
    .option('--port <n>', 'port of the dashboard; 0 takes a free one', wholeNumber(65_535), 8080)
    .option('--mqtt-port <n>', 'port of the broker, or the next free one', wholeNumber(65_535), 1883)
    .option('--data <folder>', 'where data and logs are kept', './girthlog-data/demo')
    .option('--seed <n>', 'seed of the simulated rigs', wholeNumber(0xffff_ffff), 1)
    .exitOverride();
  try {
    program.parse(args, { from: 'user' });
  } catch (error) {
    return (error as Error & { exitCode?: number }).exitCode === 0 ? EXIT.ok : EXIT.usage;
  }
  return await runDemo(program.opts<DemoFlags>());
}

async function runDemo(flags: DemoFlags): Promise<number> {
  const say = (line: string) => process.stdout.write(`${line}\n`);
  const complain = (sentence: string) => process.stderr.write(`${sentence}\n`);
  const folder = new DataFolder(flags.data);
  let end: (code: number) => void = () => undefined;
  const ended = new Promise<number>(resolve => {
    end = resolve;
  });
  const unlisten = onStopSignal(() => end(EXIT.ok));
  let demo: Demo | null = null;
  try {
    folder.take();
    if (flags.port !== 0) await checkPort('127.0.0.1', flags.port);
    demo = new Demo({
      folder,
      httpPort: flags.port,
      mqttPort: flags.mqttPort,
      seed: flags.seed,
      say,
      giveUp: sentence => {
        complain(sentence);
        end(EXIT.internal);
      },
    });
    const code = await Promise.race([demo.start().then(() => ended), ended]);
    say(code === EXIT.ok ? 'Stopping: edges and rigs first, then the dashboard …' : 'Stopping …');
    await demo.stop();
    if (code === EXIT.ok) say('Stopped. All data is kept.');
    return code;
  } catch (error) {
    await demo?.stop();
    complain(error instanceof Error ? error.message : String(error));
    return error instanceof ProgramError ? error.exitCode : EXIT.internal;
  } finally {
    folder.release();
    unlisten();
  }
}
