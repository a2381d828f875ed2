/** A lesson under control: frozen, hurried, tampered with, ended, and its truth as it happened. */
import { describe, expect, it } from 'vitest';
import { controlStateSchema } from '#core/training/control';
import { WALL_AT_START_MS } from '../support/lesson-bench.ts';
import { openOf, startControl } from '../support/lesson-control.ts';

describe('a lesson', () => {
  it('does not start while nobody listens to its rigs', async () => {
    const { bench, post, does } = await startControl();
    await does('/open', openOf('gas-lost'));
    bench.unheard = 'The edge of rig-a does not listen yet: try again in a moment.';
    const { status, body } = await post('/start', { speed: 1 });
    expect([status, body.code, body.detail]).toEqual([409, 'notReady', bench.unheard]);
    bench.unheard = null;
    expect((await does('/start', { speed: 1 })).state).toBe('running');
  });

  it('stands still frozen: nothing is sent, and it goes on where it stood', async () => {
    const { bench, ask, does } = await startControl();
    await does('/open', openOf('gas-lost', 7));
    await does('/start', { speed: 1 });
    await bench.pass(15);
    const frozen = await does('/freeze');
    const sent = new Map(bench.bytes);
    await bench.pass(40);
    expect(bench.bytes).toEqual(sent);
    expect(controlStateSchema.parse((await ask('GET', '/state')).body)).toEqual(frozen);
    const again = await does('/resume');
    expect(again).toMatchObject({
      state: 'running',
      speed: 1,
      hurried: false,
      simulatedS: frozen.simulatedS,
    });
    await bench.pass(1);
    const later = controlStateSchema.parse((await ask('GET', '/state')).body);
    expect(later.simulatedS - frozen.simulatedS).toBeCloseTo(1, 6);
    const moved = later.rigs[0]!.alongMm! - frozen.rigs[0]!.alongMm!;
    expect(Math.abs(moved - 7.5)).toBeLessThan(0.3);
    // Every sample once, each beginning where the one before ended.
    const times = [...bench.sent.get('rig-a')!.matchAll(/^!D,[^,]*,[^,]*,(\d+),(\d+)/gm)].map(
      match => [Number(match[1]), Number(match[2])] as const,
    );
    expect(times.length).toBeGreaterThan(700);
    for (const [i, [tUs]] of times.entries())
      if (i > 0) expect(tUs).toBe(times[i - 1]![0] + times[i - 1]![1]);
  });

  it('runs as many times as fast as it is told, and says for good that it was hurried', async () => {
    const { bench, does } = await startControl();
    await does('/open', openOf('gas-lost'));
    expect((await does('/speed', { speed: 8 })).hurried).toBe(false);
    expect((await does('/speed', { speed: 1 })).hurried).toBe(false);
    await does('/start', { speed: 1 });
    await bench.pass(2);
    expect((await does('/speed', { speed: 4 })).hurried).toBe(true);
    await bench.pass(2);
    const back = await does('/speed', { speed: 1 });
    expect(back).toMatchObject({ speed: 1, hurried: true });
    expect(back.simulatedS).toBeCloseTo(10, 1);
    await does('/end');
    expect((await does('/open', openOf('gas-lost'))).hurried).toBe(false);
    // Whoever prepares the next is told that the records are dated ahead.
    expect(bench.plans.map(({ afterHurry }) => afterHurry)).toEqual([false, true]);
  });

  it('tells when each window truly began and ended, by the wall clock', async () => {
    const { bench, does, truth } = await startControl();
    await does('/open', openOf('gas-lost'));
    expect((await truth()).every(({ beganUtc, endedUtc }) => beganUtc === null && endedUtc === null)).toBe(
      true,
    );
    await does('/start', { speed: 1 });
    // The hose comes off at 385 mm from the start of fill 1 of side A, 7.5 mm/s, which begins 6 s in: gas 0.8 s,
    // run-in, 0.5 s standing: about 58 s.
    await bench.until(() => bench.control.state().rigs[0]!.alongMm! >= 385, 80);
    const at = bench.wallMs;
    const hose = (await truth()).find(({ id }) => id === 'hose-off')!;
    expect(Math.abs(Date.parse(hose.beganUtc!) - at)).toBeLessThanOrEqual(100);
    expect(Math.abs(Date.parse(hose.beganUtc!) - WALL_AT_START_MS - 59_000)).toBeLessThan(1500);
    expect(hose.endedUtc).toBeNull();
    // Frozen for 10 s in it: the wall clock goes on, and the window with it.
    await does('/freeze');
    await bench.pass(10);
    await does('/resume');
    await bench.until(() => bench.control.state().rigs[0]!.alongMm! >= 606, 60);
    const ended = (await truth()).find(({ id }) => id === 'hose-off')!;
    const lasted = Date.parse(ended.endedUtc!) - Date.parse(ended.beganUtc!);
    // 220 mm at 7.5 mm/s and the freeze.
    expect(Math.abs(lasted - (220 / 7.5) * 1000 - 10_000)).toBeLessThan(600);
    await does('/end');
    for (const { id, beganUtc, endedUtc } of await truth())
      expect(beganUtc === null, id).toBe(endedUtc === null);
  });

  it('takes what the trainer puts in from where the rig is, and keeps it in the truth', async () => {
    const { bench, post, does, truth } = await startControl();
    await does('/open', openOf('leave-it-alone'));
    await does('/start', { speed: 1 });
    const injection = {
      rig: 'rig-b',
      fault: 'wireSlip',
      size: 10,
      rampMm: 0,
      lengthMm: 60,
      channels: ['weldingCurrent'],
      actions: ['stop'],
    };
    const early = await post('/inject', injection);
    expect([early.status, early.body.code]).toEqual([409, 'noPassRunning']);
    await bench.pass(15);
    const state = await does('/inject', injection);
    const rig = state.rigs.find(({ rig }) => rig === 'rig-b')!;
    await bench.pass(5);
    const put = (await truth()).find(({ injected }) => injected)!;
    expect(put).toMatchObject({
      kind: 'signal',
      fault: 'wireSlip',
      size: 10,
      side: 'B',
      joint: rig.joint,
      pass: rig.pass,
      fromMm: rig.alongMm,
      channels: ['weldingCurrent'],
      actions: ['stop'],
    });
    expect(put.toMm! - put.fromMm).toBeCloseTo(60, 6);
    // 60 mm of hot pass at 17.5 mm/s.
    expect(Math.abs(Date.parse(put.endedUtc!) - Date.parse(put.beganUtc!) - 3430)).toBeLessThan(300);
    for (const [wrong, status, code] of [
      [{ rig: 'rig-z' }, 404, 'rigUnknown'],
      [{ fault: 'gremlin' }, 422, 'notAcceptable'],
      [{ fault: 'lateStart' }, 422, 'notAcceptable'],
      [{ fault: 'wrongPass' }, 422, 'notAcceptable'],
      [{ fault: 'wrongPass', otherPass: 'the fifth' }, 422, 'notAcceptable'],
      [{ fault: 'sensorDrift', channel: 'volts' }, 422, 'notAcceptable'],
      [{ fault: 'stopRestart', size: -1 }, 422, 'notAcceptable'],
      [{ size: 1e9 }, 422, 'notAcceptable'],
    ] as const) {
      const { status: is, body } = await post('/inject', { ...injection, ...wrong });
      expect([is, body.code], JSON.stringify(wrong)).toEqual([status, code]);
    }
    expect((await truth()).filter(({ injected }) => injected)).toHaveLength(1);
  });

  it('ends by itself when all is welded, and its passes were announced in their order', async () => {
    const { bench, ask, does, truth } = await startControl();
    await does('/open', openOf('verify-the-rig'));
    await does('/start', { speed: 8 });
    await bench.until(() => bench.control.state().state === 'ended', 60);
    expect(bench.endings).toBe(1);
    const ahead = bench.events.filter(({ event }) => event.event === 'passAhead' && event.pass.side === 'A');
    expect(ahead.map(({ event }) => event.pass.pass)).toEqual(['hot', 'fill 1']);
    for (const { id, beganUtc, endedUtc } of await truth()) {
      expect(beganUtc, id).not.toBeNull();
      expect(endedUtc, id).not.toBeNull();
    }
    // The devices run on for a moment, so that the record sees the arc out, and then fall silent.
    await bench.pass(6);
    const sent = new Map(bench.bytes);
    await bench.pass(3);
    expect(bench.bytes).toEqual(sent);
    expect(controlStateSchema.parse((await ask('GET', '/state')).body).state).toBe('ended');
  });

  it('ended by the trainer has its arcs out at once', async () => {
    const { bench, ask, does } = await startControl();
    await does('/open', openOf('gas-lost'));
    await does('/start', { speed: 1 });
    await bench.pass(15);
    expect(controlStateSchema.parse((await ask('GET', '/state')).body).rigs.every(({ arc }) => arc)).toBe(
      true,
    );
    await does('/end');
    await bench.pass(0.2);
    const state = controlStateSchema.parse((await ask('GET', '/state')).body);
    expect(state.rigs.some(({ arc }) => arc)).toBe(false);
    await bench.pass(4);
    expect(bench.events.filter(({ event }) => event.event === 'passDone')).toHaveLength(2);
  });
});
