/** A simulated rig whose every sample is known by number. */
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
  /** Default: a free TCP port. */
  readonly output?: string;
  readonly boot?: number;
  /** When the first arc is struck, s of simulated time; 6 by default. */
  readonly firstPassAfterS?: number;
}

export interface NumberedRig {
  readonly program: RunningProgram;
  readonly url: string;
  /** Lines of the simulator's truth file: samples made so far, heard or not. */
  readonly produced: () => number;
  /** All that were made, by number; the rig has to be stopped. */
  readonly samples: () => Promise<Sample[]>;
  readonly stop: () => Promise<void>;
}

export async function startNumberedRig(options: NumberedRigOptions): Promise<NumberedRig> {
  const dir = tempDir();
  const truth = join(dir, 'truth.csv');
  const { seed, rateHz = 50, speed = 1, format = 'text', boot = 1 } = options;
  const scenario = join(dir, 'scenario.toml');
  writeFileSync(scenario, scenarioText(options.firstPassAfterS ?? 6));
  const common = [
    '--scenario',
    scenario,
    '--rigs',
    '1',
    '--seed',
    `${seed}`,
    '--rate',
    `${rateHz}`,
    '--format',
    format,
    '--boot',
    `${boot}`,
  ];
  const program = startProgram('girthlog-simulator', [
    ...['run', '--json', ...common, '--speed', `${speed}`, '--truth', truth],
    ...['--output', options.output ?? 'tcp://127.0.0.1:0'],
  ]);
  const url = await waitUntil(
    () => /"event":"listening".*?"url":"([^"]+)"/.exec(program.stdout())?.[1],
    () => `the simulator to listen; ${program.stderr()}`,
  );
  return {
    program,
    url,
    produced: () => truthLines(truth).length,
    samples: async () => {
      const lines = truthLines(truth);
      // The same seed gives the same bytes: what the device said, as a recording.
      const recording = join(dir, 'recording');
      const again = startProgram('girthlog-simulator', [
        ...['run', ...common, '--duration', `${lines.length / rateHz}`, '--output', `file://${recording}`],
      ]);
      await again.exited;
      const samples = samplesInBytes(readFileSync(recording));
      samples.forEach(({ tUs }, n) => {
        if (tUs !== Number(lines[n]!.split(',', 1)[0])) throw new Error(`truth and recording differ at ${n}`);
      });
      return samples;
    },
    stop: async () => {
      // A device that was stopped with SIGSTOP has to hear this one first.
      program.child.kill('SIGCONT');
      await program.stop();
    },
  };
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
