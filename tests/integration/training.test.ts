/** `girthlog-simulator train` as a trainer runs it: real processes, a lesson steered over HTTP, its records in its own store. */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { jointListSchema, rigListSchema } from '#core/messages/api-lists';
import { trainerKeyIn } from '#core/training/trainer-link';
import { mqttClient } from '../support/mqtt-client.ts';
import { processesOn } from '../support/processes-on.ts';
import { startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import {
  lessonsFolder,
  openRoom,
  PATIENCE_MS,
  passesOf,
  type Room,
  SMALL,
  TRAINER_KEY,
  TRAINING_TOKEN,
} from '../support/training-room.ts';
import { waitUntil } from '../support/wait-until.ts';

/** What the dashboard exports of a pass is a lesson in one command, and names neither joint nor day. */
async function becomesALesson(room: Room, passId: string): Promise<void> {
  const folder = tempDir();
  for (const name of ['samples.csv', 'replay-map.json']) {
    const response = await fetch(`${room.http}/api/v1/passes/${passId}/${name}`);
    expect(response.status).toBe(200);
    writeFileSync(join(folder, name), await response.text());
  }
  const made = startProgram('girthlog-simulator', [
    ...['lesson', 'from-recording', join(folder, 'samples.csv'), '--map', join(folder, 'replay-map.json')],
    ...['--id', 'exported', '--pass', 'hot', '--folder', folder],
  ]);
  expect(await made.exited, made.stderr()).toBe(0);
  const texts = ['exported.toml', 'exported.csv'].map(name => readFileSync(join(folder, name), 'utf8'));
  for (const text of texts) expect(text).not.toMatch(/S-0001|training|\d{4}-\d\d-\d\d/);
  const rows = readFileSync(join(folder, 'samples.csv'), 'utf8').trim().split('\n').length;
  expect(texts[1]!.trim().split('\n').length).toBe(rows);
}

describe('girthlog-simulator train', () => {
  it('runs a lesson frozen, tampered with and resumed, and its records are whole, simulated and at a site of their own', async () => {
    const data = join(tempDir(), 'training');
    const room = await openRoom(data, lessonsFolder());
    // Two links: the key is in the trainer's alone, the token in none.
    const link = /Trainer +(\S+)/.exec(room.program.stdout())![1]!;
    expect(trainerKeyIn(new URL(link).hash)).toBe(TRAINER_KEY);
    expect(room.program.stdout()).not.toContain(TRAINING_TOKEN);
    for (const line of processesOn(data))
      for (const secret of [TRAINING_TOKEN, TRAINER_KEY]) expect(line).not.toContain(secret);
    expect((await fetch(`${room.http}/readyz`)).status).toBe(200);

    const broker = await mqttClient(room.mqtt, ['#']);
    expect(await room.tell('/open', { lesson: 'small-pipe', seed: null })).toMatchObject({
      state: 'ready',
      seed: 5,
    });
    await room.tell('/start', { speed: 1 });
    const rig = async (name: string) =>
      rigListSchema.parse(await room.json('/api/v1/rigs')).rigs.find(one => one.rig === name);
    await waitUntil(
      async () => ((await rig('rig-a'))?.live?.pass?.arcTimeS ?? 0) > 2,
      'side A to weld',
      PATIENCE_MS,
    );
    expect(await rig('rig-a')).toMatchObject({ site: 'training', info: { origin: 'simulated' } });

    const frozen = await room.tell('/freeze');
    expect(frozen.rigs.every(({ arc }) => arc)).toBe(true);
    await waitUntil(async () => (await rig('rig-a'))?.live?.arc === 'noData', 'the live view to say NO DATA');
    expect((await room.state()).simulatedS).toBe(frozen.simulatedS);
    const injection = { rig: 'rig-a', fault: 'travelOffset', size: 20, rampMm: 0, lengthMm: 20 };
    await room.tell('/inject', injection);
    await room.tell('/resume');
    await waitUntil(async () => (await room.state()).state === 'ended', 'all to be welded', 120_000);

    const truth = await room.truth();
    expect(truth.map(({ id, injected }) => [id, injected])).toEqual([
      ['feed', false],
      ['injected-2', true],
    ]);
    for (const { beganUtc, endedUtc } of truth)
      expect(Date.parse(endedUtc!)).toBeGreaterThan(Date.parse(beganUtc!));

    const passes = await waitUntil(
      async () => {
        const found = await passesOf(room, 'simulated');
        return found.length === 4 && found.every(({ pass }) => pass.verdicts.length > 0) ? found : null;
      },
      'four passes, closed',
      PATIENCE_MS,
    );
    for (const { origin, site, joint, pass } of passes) {
      expect([origin, site, joint]).toEqual(['simulated', 'training', 'S-0001']);
      // Half of the pipe's 359.1 mm and half of the overlap of 10 mm, frozen or not.
      expect(Math.abs(pass.runOutLengthMm! - 184.5)).toBeLessThan(1.5);
      expect(pass.restarts).toBe(0);
    }
    const hotA = passes.find(({ side, pass }) => side === 'A' && pass.procedurePass === 'hot')!.pass;
    expect(hotA.reasons.map(({ code }) => code)).toContain('unobserved');
    const joints = jointListSchema.parse(await room.json('/api/v1/joints?origin=simulated'));
    expect(joints.joints.map(({ joint }) => joint)).toEqual(['S-0001']);
    expect((await passesOf(room, 'real')).length).toBe(0);
    // Whatever anybody could hear of it is of this site and says what it is; so does what is taken away.
    expect(broker.received.length).toBeGreaterThan(100);
    for (const { topic, text } of broker.received) {
      expect(topic).toMatch(/^girthlog\/1\/training\//);
      const origin = /"origin":"([a-z]+)"/.exec(text)?.[1];
      if (/\/(live|record|pass|event|info|status|health|alarms)$/.test(topic))
        expect(origin, topic).toBe('simulated');
    }
    const exported = await room.json(`/api/v1/passes/${passes[0]!.passId}/samples.json`);
    expect(exported).toMatchObject({ origin: 'simulated', site: 'training' });
    await becomesALesson(room, passes[0]!.passId);

    expect(await room.program.stop()).toBe(0);
    expect(room.program.stderr()).toBe('');
    expect(processesOn(data)).toEqual([]);
    expect(existsSync(join(data, 'training.pid'))).toBe(false);
  });

  it('at eight times the speed the sums stay right, and the next lesson is dated by the clock again', async () => {
    const data = join(tempDir(), 'training');
    const room = await openRoom(data, lessonsFolder());
    await room.tell('/open', { lesson: 'small-pipe', seed: 9 });
    await room.tell('/start', { speed: 8 });
    await waitUntil(async () => (await room.state()).state === 'ended', 'all to be welded', PATIENCE_MS);
    expect((await room.state()).hurried).toBe(true);
    const first = await waitUntil(
      async () => {
        const found = await passesOf(room, 'simulated');
        return found.length === 4 ? found : null;
      },
      'four passes',
      PATIENCE_MS,
    );
    for (const { pass } of first) {
      expect(Math.abs(pass.runOutLengthMm! - 184.5)).toBeLessThan(1.5);
      expect([pass.unobservedS, pass.restarts]).toEqual([0, 0]);
      // The edge's arc time against the simulated: 184.5 mm at 17.5 or 7.5 mm/s and about 1 s standing.
      const travel = pass.procedurePass === 'hot' ? 17.5 : 7.5;
      expect(Math.abs(pass.arcTimeS! - 184.5 / travel - 1)).toBeLessThan(0.6);
    }
    await room.tell('/open', { lesson: 'small-pipe', seed: 9 });
    await room.tell('/start', { speed: 1 });
    const again = await waitUntil(
      async () => {
        const { rigs } = rigListSchema.parse(await room.json('/api/v1/rigs'));
        const live = rigs.find(({ rig }) => rig === 'rig-a')?.live;
        return live?.assignment?.joint === 'S-0002' && (live.pass?.arcTimeS ?? 0) > 1 ? live : null;
      },
      'the next joint to be welded',
      PATIENCE_MS,
    );
    expect(Math.abs(Date.parse(again.at) - Date.now())).toBeLessThan(5000);
    expect(
      readdirSync(join(data, 'edges'))
        .filter(name => name.endsWith('.db'))
        .sort(),
    ).toEqual([
      'rig-a-simulated-0.db',
      'rig-a-simulated-1.db',
      'rig-b-simulated-0.db',
      'rig-b-simulated-1.db',
    ]);
    // A rig signs on with its one key: the truck would refuse another.
    const keyOf = (store: number) =>
      readFileSync(join(data, 'edges', `rig-a-simulated-${store}.db.key`), 'utf8');
    expect(keyOf(1)).toBe(keyOf(0));
    await room.tell('/end');
    expect(await room.program.stop()).toBe(0);
  });

  it('plays a recorded joint as a replay, from the file to the store', async () => {
    const lessons = lessonsFolder();
    const recording = startProgram('girthlog-simulator', [
      ...[
        'run',
        '--rigs',
        '1',
        '--joints',
        '1',
        '--duration',
        '16',
        '--output',
        `file://${lessons}/line.txt`,
      ],
      ...['--truth', join(lessons, 'true.csv')],
    ]);
    expect(await recording.exited).toBe(0);
    const map = {
      header: true,
      delimiter: ',',
      time: { column: 'tUs', unit: 'us' },
      weldingCurrent: { column: 'currentA', unit: 'A' },
      arcVoltage: { column: 'voltageV', unit: 'V' },
      wireFeedSpeed: { column: 'feedMmS', unit: 'mm/s' },
      travelSpeed: { column: 'travelMmS', unit: 'mm/s' },
      referenceRadiusMm: 305,
    };
    writeFileSync(join(lessons, 'MAP.json'), JSON.stringify(map));
    const made = startProgram('girthlog-simulator', [
      ...['lesson', 'from-recording', join(lessons, 'true.csv'), '--map', join(lessons, 'MAP.json')],
      ...['--id', 'from-the-line', '--pass', 'root', '--folder', lessons],
    ]);
    expect(await made.exited, made.stderr()).toBe(0);
    const checked = startProgram('girthlog-simulator', [
      'lesson',
      'check',
      join(lessons, 'from-the-line.toml'),
    ]);
    expect(await checked.exited).toBe(0);
    const listed = startProgram('girthlog-simulator', ['lessons', '--json', '--lessons', lessons]);
    expect(await listed.exited).toBe(0);
    const heads = JSON.parse(listed.stdout()).lessons as { id: string; replay: boolean }[];
    expect(heads.find(({ id }) => id === 'from-the-line')?.replay).toBe(true);

    const room = await openRoom(join(tempDir(), 'training'), lessons);
    await room.tell('/open', { lesson: 'from-the-line', seed: null });
    await room.tell('/start', { speed: 1 });
    const [pass] = await waitUntil(
      async () => {
        const found = await passesOf(room, 'replay');
        return found.length === 1 && found[0]!.pass.verdicts.length > 0 ? found : null;
      },
      'the replayed pass',
      60_000,
    );
    expect(pass).toMatchObject({
      origin: 'replay',
      site: 'training',
      rig: 'rig-a',
      joint: 'R-0001',
      side: 'A',
    });
    // What truly was welded in the 16 s of the recording.
    const rows = readFileSync(join(lessons, 'true.csv'), 'utf8').trim().split('\n').slice(1);
    const along = Number(rows.at(-1)!.split(',')[7]);
    expect(Math.abs(pass!.pass.runOutLengthMm! - along)).toBeLessThan(1);
    expect((await passesOf(room, 'simulated')).length).toBe(0);
    expect(await room.program.stop()).toBe(0);
  });

  it('says in one sentence what is wrong with a lesson or a secret, and leaves nothing running', async () => {
    const lessons = lessonsFolder();
    writeFileSync(
      join(lessons, 'wrong.toml'),
      SMALL.replace('minutes', 'minuts').replace('small-pipe', 'other'),
    );
    const data = join(tempDir(), 'training');
    const wrong = startProgram('girthlog-simulator', ['train', '--data', data, '--lessons', lessons]);
    expect(await wrong.exited).toBe(3);
    expect(wrong.stderr()).toMatch(/wrong\.toml:5: unknown key "minuts"; did you mean "minutes"\?/);
    const short = startProgram('girthlog-simulator', ['train', '--data', data, '--port', '0'], {
      GIRTHLOG_TRAINING_TOKEN: 'short',
    });
    expect(await short.exited).toBe(3);
    expect(short.stderr()).toMatch(/GIRTHLOG_TRAINING_TOKEN must be at least 16/);
    expect(processesOn(data)).toEqual([]);
  });
});
