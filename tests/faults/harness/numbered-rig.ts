/** Simulated rigs whose every sample is known by number. */
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type RunningProgram, startProgram } from '../../support/programs.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { waitUntil } from '../../support/wait-until.ts';
import { type Sample, samplesInBytes } from './numbered-samples.ts';

export interface NumberedRigOptions {
  readonly seed: number;
  readonly rateHz?: number;
  readonly speed?: number;
  readonly format?: 'text' | 'binary';
  /** One URL, or one a rig. Default: free TCP ports. */
  readonly output?: string | readonly string[];
  readonly boot?: number;
  /** When the first arc is struck, s of simulated time; 6 by default. */
  readonly firstPassAfterS?: number;
}

export interface NumberedRig {
  readonly id: string;
  readonly program: RunningProgram;
  readonly url: string;
  /** Lines of the simulator's truth file: samples made so far, heard or not. */
  readonly produced: () => number;
  /** All that were made, by number; the rig has to be stopped. */
  readonly samples: () => Promise<Sample[]>;
  readonly stop: () => Promise<void>;
}

export async function startNumberedRig(options: NumberedRigOptions): Promise<NumberedRig> {
  const [rig] = await startNumberedRigs(1, options);
  return rig!;
}

/** `count` rigs of one simulator; stopping one stops all. */
export async function startNumberedRigs(count: number, options: NumberedRigOptions): Promise<NumberedRig[]> {
  const dir = tempDir();
  const { seed, rateHz = 50, speed = 1, format = 'text', boot = 1, output = 'tcp://127.0.0.1:0' } = options;
  const scenario = join(dir, 'scenario.toml');
  writeFileSync(scenario, scenarioText(options.firstPassAfterS ?? 6));
  const common = [
    ...['--scenario', scenario, '--rigs', `${count}`, '--seed', `${seed}`],
    ...['--rate', `${rateHz}`, '--format', format, '--boot', `${boot}`],
  ];
  const program = startProgram('girthlog-simulator', [
    ...['run', '--json', ...common, '--speed', `${speed}`, '--truth', join(dir, '{rig}.csv')],
    ...['--output', ...(typeof output === 'string' ? [output] : output)],
  ]);
  const listening = await waitUntil(
    () => {
      const found = [...program.stdout().matchAll(/"event":"listening","rig":"([^"]+)","url":"([^"]+)"/g)];
      return found.length === count ? found : null;
    },
    () => `the simulator to listen; ${program.stderr()}`,
  );
  let recorded: Promise<unknown> | null = null;
  /** The same seed gives the same bytes: what all devices said, as recordings. */
  const record = (durationS: number): Promise<unknown> => {
    const output = `file://${join(dir, '{rig}.recording')}`;
    return startProgram('girthlog-simulator', [
      'run',
      ...common,
      '--duration',
      `${durationS}`,
      '--output',
      output,
    ]).exited;
  };
  return listening.map(([, id = '', url = '']) => {
    const truth = join(dir, `${id}.csv`);
    return {
      id,
      program,
      url,
      produced: () => truthLines(truth).length,
      samples: async () => {
        const lines = truthLines(truth);
        // A little longer than any rig of the run may have come.
        recorded ??= record(lines.length / rateHz + 10);
        await recorded;
        const samples = samplesInBytes(readFileSync(join(dir, `${id}.recording`))).slice(0, lines.length);
        samples.forEach(({ tUs }, n) => {
          if (tUs !== Number(lines[n]!.split(',', 1)[0]))
            throw new Error(`truth and recording differ at ${n}`);
        });
        return samples;
      },
      stop: async () => {
        // A device that was stopped with SIGSTOP has to hear this one first.
        program.child.kill('SIGCONT');
        await program.stop();
      },
    };
  });
}

/** Whole lines only: the last may be on its way. */
function truthLines(file: string): string[] {
  if (statSync(file).size === 0) return [];
  return readFileSync(file, 'utf8').split('\n').slice(1, -1);
}

function scenarioText(firstPassAfterS: number): string {
  return `schema = "girthlog.scenario/1"
[schedule]
first_pass_after_s = ${firstPassAfterS}
[[rig]]
id = "rig-a"
side = "A"
`;
}
