import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect } from 'vitest';
import type { z } from 'zod';
import { passPageSchema } from '#core/messages/api';
import { type ControlState, controlStateSchema, type Truth, truthSchema } from '#core/training/control';
import { endsWithTest } from './processes-on.ts';
import { type RunningProgram, startProgram } from './programs.ts';
import { tempDir } from './temp-dir.ts';
import { waitUntil } from './wait-until.ts';

export const TRAINING_TOKEN = 'token-of-this-test-and-no-other';
export const TRAINER_KEY = 'key-of-the-trainer-of-this-test';
export const PATIENCE_MS = 40_000;

/** `girthlog-simulator train` as a process, and how to steer it. */
export interface Room {
  readonly program: RunningProgram;
  readonly http: string;
  readonly mqtt: string;
  readonly json: (path: string) => Promise<unknown>;
  readonly tell: (path: string, body?: unknown) => Promise<ControlState>;
  readonly state: () => Promise<ControlState>;
  readonly truth: () => Promise<Truth['windows']>;
}

export async function openRoom(data: string, lessons: string): Promise<Room> {
  const program = startProgram(
    'girthlog-simulator',
    ['train', '--data', data, '--port', '0', '--mqtt-port', '0', '--lessons', lessons],
    { GIRTHLOG_TRAINING_TOKEN: TRAINING_TOKEN, GIRTHLOG_TRAINING_TRAINER_KEY: TRAINER_KEY },
  );
  endsWithTest(data);
  await waitUntil(
    () => program.stdout().includes('Stop with Ctrl-C.'),
    () => `the training to be up; it says: ${program.stdout()} ${program.stderr()}`,
    PATIENCE_MS,
  );
  const address = (name: string) =>
    new RegExp(`${name} +(http://127\\.0\\.0\\.1:\\d+)`).exec(program.stdout())![1]!;
  const [http, control] = [address('Trainee'), address('Control')];
  const ask = async (method: string, path: string, body?: unknown): Promise<unknown> => {
    const once = () =>
      fetch(control + path, {
        method,
        headers: { authorization: `Bearer ${TRAINING_TOKEN}`, 'content-type': 'application/json' },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      });
    let response = await once();
    let answered = await response.json();
    // As the answer asks for: the edges of a lesson that was just opened may not listen yet.
    const isEarly = (): boolean => (answered as { code?: unknown } | null)?.code === 'notReady';
    if (isEarly()) {
      await waitUntil(
        async () => {
          response = await once();
          answered = await response.json();
          return !isEarly();
        },
        () => `the room to be ready for ${path}; it says: ${JSON.stringify(answered)}`,
        PATIENCE_MS,
      );
    }
    expect(response.status, JSON.stringify(answered)).toBe(200);
    return answered;
  };
  return {
    program,
    http,
    mqtt: /mqtt:\/\/127\.0\.0\.1:\d+/.exec(program.stdout())![0],
    json: async path => (await fetch(http + path)).json(),
    tell: async (path, body = {}) => controlStateSchema.parse(await ask('POST', path, body)),
    state: async () => controlStateSchema.parse(await ask('GET', '/state')),
    truth: async () => truthSchema.parse(await ask('GET', '/truth')).windows,
  };
}

export async function passesOf(
  room: Room,
  origin: string,
): Promise<z.infer<typeof passPageSchema>['passes']> {
  return passPageSchema.parse(await room.json(`/api/v1/passes?origin=${origin}&limit=50`)).passes;
}

/** A lesson that is over in half a minute: a small pipe, two short passes, one fault. */
export const SMALL = `schema = "girthlog.lesson/1"
id = "small-pipe"
title = "A small pipe"
objectives = ["See the feed step."]
minutes = 0.9
seed = 5
weld = ["hot", "fill 1"]

[joints]
prefix = "S-"
first = 1
count = 1

[pipe]
outside_diameter_mm = 114.3

[schedule]
first_pass_after_s = 4

[[rig]]
id = "rig-a"
side = "A"

[[rig]]
id = "rig-b"
side = "B"

[[window]]
id = "feed"
kind = "signal"
fault = "feedOffset"
size = -15
rig = "rig-b"
pass = "fill 1"
from_mm = 40
to_mm = 110
channels = ["wireFeedSpeed"]
actions = ["call"]
`;

/** A folder with that lesson in it. */
export function lessonsFolder(): string {
  const folder = tempDir();
  writeFileSync(join(folder, 'small-pipe.toml'), SMALL);
  return folder;
}
