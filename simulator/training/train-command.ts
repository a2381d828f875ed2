import { randomBytes } from 'node:crypto';
import { EXIT, ProgramError } from '#core/program/program-error';
import { TRAINER_KEY_ENV, TRAINING_TOKEN_ENV } from '#core/training/control';
import { trainerLink } from '#core/training/trainer-link';
import { DataFolder } from '../demo/data-folder.ts';
import { takeSecret } from '../demo/load-config.ts';
import { checkPort } from '../demo/port-check.ts';
import { onStopSignal } from '../demo/stop-signal.ts';
import { OutputError } from '../output/byte-output.ts';
import { readLessons, shippedLessons } from './lesson-library.ts';
import { TrainingRoom } from './training-room.ts';

export interface TrainFlags {
  readonly port: number;
  readonly mqttPort: number;
  readonly data: string;
  readonly site: string;
  readonly lessons?: readonly string[];
}

const SECRET_BYTES = 24;
const SHORTEST_SECRET = 16;

/** `girthlog-simulator train`. Resolves with the exit code once everything has stopped. Throws ScenarioError. */
export async function trainCommand(flags: TrainFlags): Promise<number> {
  const say = (line: string) => process.stdout.write(`${line}\n`);
  const complain = (sentence: string) => process.stderr.write(`${sentence}\n`);
  const lessons = await readLessons([shippedLessons(), ...(flags.lessons ?? [])]);
  const command = 'girthlog-simulator train';
  const folder = new DataFolder(flags.data, { name: 'training', command });
  let end: (code: number) => void = () => undefined;
  const ended = new Promise<number>(resolve => {
    end = resolve;
  });
  const unlisten = onStopSignal(() => end(EXIT.ok));
  let room: TrainingRoom | null = null;
  try {
    folder.take();
    if (flags.port !== 0) await checkPort('127.0.0.1', flags.port, command);
    const trainerKey = secretOf(TRAINER_KEY_ENV);
    room = new TrainingRoom({
      folder,
      site: flags.site,
      httpPort: flags.port,
      mqttPort: flags.mqttPort,
      lessons,
      token: secretOf(TRAINING_TOKEN_ENV),
      trainerKey,
      say,
      complain,
      giveUp: sentence => {
        complain(sentence);
        end(EXIT.internal);
      },
    });
    const up = room.start().then(({ http, mqtt, control, trainee }) => {
      say(
        'Girthlog training. Everything it shows is SIMULATED or a REPLAY, and its limits are an example, not a procedure.',
      );
      say(
        'It welds nothing and commands no rig. Practise with qualified persons, and weld by an approved procedure.',
      );
      say('');
      say(`  Trainee     ${http}/#/training`);
      say(`              ${trainee}   <- to enter and acknowledge in the lesson too; good once`);
      say(`  Trainer     ${trainerLink(http, trainerKey)}   <- keep this one to yourself`);
      say(`  Lessons     ${lessons.length}, as girthlog-simulator lessons lists them`);
      say(`  Control     ${control} (for the dashboard, with a token that it alone was given)`);
      say(`  Site        ${flags.site}, with a store of its own and a broker of its own, ${mqtt}`);
      say(`  Data, logs  ${folder.path}`);
      say('');
      say('Stop with Ctrl-C.');
      return ended;
    });
    const code = await Promise.race([up, ended]);
    say('Stopping …');
    await room.stop();
    if (code === EXIT.ok) say('Stopped. All data is kept.');
    return code;
  } catch (error) {
    await room?.stop();
    complain(error instanceof Error ? error.message : String(error));
    if (error instanceof OutputError) return EXIT.device;
    return error instanceof ProgramError ? error.exitCode : EXIT.internal;
  } finally {
    folder.release();
    unlisten();
  }
}

/** As handed over by the environment, else a fresh one. Throws ProgramError where it is too short to be a secret. */
function secretOf(name: string): string {
  const given = takeSecret(name);
  if (given === null) return randomBytes(SECRET_BYTES).toString('base64url');
  if (given.length >= SHORTEST_SECRET && /^[\x21-\x7e]+$/.test(given)) return given;
  throw new ProgramError(
    `${name} must be at least ${SHORTEST_SECRET} printable characters; leave it out and one is made.`,
    EXIT.configuration,
  );
}
