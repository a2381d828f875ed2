/** The whole of training with real programs: simulator under control, edges, broker, dashboard. */
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { type Debrief, type SessionView, TRAINER_HEADER, type Training } from '#core/messages/api-training';
import { startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';

const KEY = 'key-of-the-trainer-in-tests';
const LESSON = 'stick-out-one-side';

async function trainingRoom() {
  const program = startProgram(
    'girthlog-simulator',
    ['train', '--port', '0', '--mqtt-port', '0', '--data', join(tempDir(), 'training')],
    { GIRTHLOG_TRAINING_TRAINER_KEY: KEY },
  );
  const told = () => `${program.stdout()}\n${program.stderr()}`;
  const url = await waitUntil(() => /Trainee\s+(http:\/\/[^/]+)\//.exec(program.stdout())?.[1], told, 30_000);
  const ask = async <T>(method: string, path: string, body?: unknown, trainer = true): Promise<T> => {
    const response = await fetch(`${url}/api/v1/training${path}`, {
      method,
      headers: {
        'x-girthlog': '1',
        'content-type': 'application/json',
        ...(trainer ? { [TRAINER_HEADER]: KEY } : {}),
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    if (response.ok) return (await response.json()) as T;
    throw new Error(`${method} ${path}: ${response.status} ${await response.text()}`);
  };
  return { program, url, ask };
}

it('a lesson runs, a fault is put in, seen and marked, and the debrief says so', async () => {
  const { program, url, ask } = await trainingRoom();
  const overview = await ask<Training>('GET', '');
  expect(overview.controlProblem).toBeNull();
  expect(overview.lessons.map(({ id }) => id)).toContain(LESSON);

  const who = { trainee: 'T. Learner', trainer: 'B. Teacher', mode: 'check' };
  const { id, rigs } = await ask<SessionView>('POST', '/sessions', { ...who, lesson: LESSON });
  expect(rigs).toEqual([
    { rig: 'rig-a', side: 'A' },
    { rig: 'rig-b', side: 'B' },
  ]);
  const session = `/sessions/${id}`;
  // Refused until each rig's edge listens.
  await waitUntil(
    () => ask('POST', `${session}/start`, {}).catch(() => null),
    () => program.stderr(),
    30_000,
  );
  await waitUntil(
    async () => (await ask<Training>('GET', '')).control?.rigs.find(({ rig }) => rig === 'rig-a')?.arc,
    'the arc of rig-a',
    60_000,
  );
  const fault = { rig: 'rig-a', fault: 'stickOutGrowth', size: 6, rampMm: 0, lengthMm: null };
  await ask('POST', `${session}/inject`, { ...fault, channels: ['weldingCurrent'], actions: ['call'] });
  const put = await waitUntil(
    async () =>
      (await ask<SessionView>('GET', session)).truth?.find(
        ({ injected, beganUtc }) => injected && beganUtc !== null,
      ),
    'what was put in to be true',
  );
  expect(put).toMatchObject({ rig: 'rig-a', side: 'A', fault: 'stickOutGrowth' });
  expect(await ask<SessionView>('GET', session, undefined, false)).toMatchObject({ truth: null });
  await waitUntil(async () => {
    const { rigs: shown } = (await (await fetch(`${url}/api/v1/rigs`)).json()) as {
      rigs: { rig: string; live: { position: { alongMm: number } | null } | null }[];
    };
    const place = shown.find(({ rig }) => rig === 'rig-a')?.live?.position;
    return place && place.alongMm >= put.fromMm;
  }, 'the live view to be where the fault is');
  const mark = { rig: 'rig-a', side: 'A', channel: 'weldingCurrent', action: 'call' };
  await ask('POST', `${session}/marks`, mark, false);
  const ended = await ask<SessionView>('POST', `${session}/end`, {});
  expect(ended).toMatchObject({ state: 'ended', truthGap: null, hurried: false });

  await ask('POST', `${session}/self-rating`, { rating: 4 }, false);
  const debrief = await waitUntil(async () => {
    const read = await ask<Debrief>('GET', `${session}/debrief`, undefined, false);
    return read.joints.length > 0 ? read : null;
  }, 'the record of what was welded');
  expect(debrief.joints[0]?.origin).toBe('simulated');
  const result = debrief.score.windows.find(({ windowId }) => windowId === put.id);
  expect(result).toMatchObject({ result: 'hit', rightChannel: true, rightAction: true });
  // Seen within the seconds that this test took, on the weld that was then under the arc.
  expect(result!.seconds).toBeGreaterThan(0);
  expect(result!.weldMm).not.toBeNull();
  expect(debrief.score.counts).toMatchObject({ signals: 1, hit: 1, miss: 0, falseAlarm: 0 });
  const others = debrief.score.windows.filter(({ windowId }) => windowId !== put.id);
  expect(new Set(others.map(({ result: of }) => of))).toEqual(new Set(['notReached']));
  expect(await program.stop()).toBe(0);
});
