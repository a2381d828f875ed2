/**
 * What a lesson needs beyond the fault catalogue: restarts put back or set too far on, a tap on the wrong side of the
 * leads, a wider weave, a dead device, a late crew, and a fault that begins now. Overlaps and widths are the lesson's
 * own numbers; the lead drop is Ohm's law.
 */
import { describe, expect, it } from 'vitest';
import type { RigFrame } from '../../../simulator/rig/rig-frame.ts';
import { rigsOfScenario } from '../../../simulator/scenario/rigs-of-scenario.ts';
import { type ScenarioInput, scenarioSchema } from '../../../simulator/scenario/scenario.ts';
import { FILL, fault, weldSteadily } from './steady-rig.ts';

const good = weldSteadily();

function weldSmallPipe(more: Partial<ScenarioInput>) {
  const scenario = scenarioSchema.parse({
    schema: 'girthlog.scenario/1',
    joints: { count: 1 },
    pipe: { outside_diameter_mm: 168 },
    rig: [{ id: 'rig-a', side: 'A' }],
    weld: ['fill 1'],
    ...more,
  });
  const [rig] = rigsOfScenario(scenario, 3, null, 20);
  const frames: RigFrame[] = [];
  const starts: number[] = [];
  while (!rig!.program.ended) {
    frames.push(rig!.program.nextFrame());
    for (const event of rig!.program.drainEvents()) {
      if (event.event === 'passAhead') starts.push(event.pass.startsAtS);
    }
  }
  return { frames, starts };
}

describe('a restart', () => {
  it.each([
    ['put back', 12],
    ['set too far on', -9],
  ])('%s by what was asked, truly and as the encoder reports it', (_how, overlap_mm) => {
    const { frames } = weldSmallPipe({
      fault: [{ kind: 'stopRestart', size: 5, from_mm: 100, overlap_mm, pass: 'fill 1' }],
    });
    const stopped = frames.findIndex(({ phase }) => phase === 'crater');
    const again = frames.findIndex((frame, i) => i > stopped && frame.phase === 'strike');
    expect(again).toBeGreaterThan(stopped);
    const waiting = frames.findIndex(({ phase }) => phase === 'waiting');
    const moved = frames[again]!.truth.alongMm - frames[waiting]!.truth.alongMm;
    expect(Math.abs(moved + overlap_mm)).toBeLessThan(0.8);
    const reported = frames[again]!.reported.travelDistance! - frames[waiting]!.reported.travelDistance!;
    // At the band's radius: 104 for 84 mm.
    expect(reported).toBeCloseTo((moved * 104) / 84, 0);
    const speeds = frames.slice(waiting, again).map(({ reported }) => reported.travelSpeed!);
    expect(Math.sign(speeds.reduce((sum, x) => sum + x, 0))).toBe(Math.sign(-overlap_mm));
  });
});

it('a tap at the source on a rig set up for the tip reads the lead drop on top: 2.77 V at 236 A', () => {
  const wrong = weldSteadily({ faults: [fault('wrongTap', 1)] });
  expect(wrong.reported('arcVoltage') - good.reported('arcVoltage')).toBeCloseTo(2.77, 1);
  expect(wrong.truth('voltageV')).toBeCloseTo(good.truth('voltageV'), 6);
});

it('a wider weave is reported, and the current stays', () => {
  const wide = weldSteadily({ faults: [fault('weaveWidth', 20)] });
  expect(wide.reported('oscillationWidth')).toBeCloseTo(FILL.oscillationWidthMm * 1.2, 6);
  expect(wide.reported('weldingCurrent') / good.reported('weldingCurrent')).toBeCloseTo(1, 2);
});

it('a dead device is silent only where it is said to be, and what it would have read is the same', () => {
  const dead = weldSmallPipe({
    fault: [{ kind: 'deviceSilent', pass: 'fill 1', from_mm: 40, to_mm: 80 }],
  }).frames;
  const sound = weldSmallPipe({}).frames;
  expect(dead.map(({ reported }) => reported)).toEqual(sound.map(({ reported }) => reported));
  const silent = dead.filter(frame => frame.silent).map(({ truth }) => truth.alongMm);
  expect(silent.length).toBeGreaterThan(100);
  // The ring's 40 mm, less the start 15 mm past 12 o'clock.
  expect(Math.abs(silent[0]! - 25)).toBeLessThan(0.5);
  expect(Math.abs(silent.at(-1)! - 65)).toBeLessThan(0.5);
});

it('a late crew is late on both sides, and the timetable moves with it', () => {
  const passes = { weld: ['fill 1', 'fill 2'] };
  const planned = weldSmallPipe(passes).starts;
  const late = weldSmallPipe({
    ...passes,
    fault: [{ kind: 'lateStart', size: 45, pass: 'fill 2', rig: 'rig-x' }],
  });
  expect(late.starts[0]).toBe(planned[0]);
  expect(late.starts[1]! - planned[1]!).toBeCloseTo(45, 9);
});

it('what is put in while a pass runs begins there, a stop also behind those already made', () => {
  const scenario = scenarioSchema.parse({
    schema: 'girthlog.scenario/1',
    joints: { count: 1 },
    pipe: { outside_diameter_mm: 168 },
    rig: [{ id: 'rig-a', side: 'A' }],
    weld: ['fill 1'],
    fault: [{ kind: 'stopRestart', size: 3, from_mm: 60 }],
  });
  const { program } = rigsOfScenario(scenario, 3, null, 20)[0]!;
  expect(program.place).toBeNull();
  while ((program.place?.alongMm ?? 0) < 120) program.nextFrame();
  const { alongMm, joint, pass } = program.place!;
  expect([joint, pass]).toEqual(['J-0101', 'fill 1']);
  program.inject(fault('feedOffset', -20, { fromMm: alongMm }));
  program.inject(fault('stopRestart', 4, { fromMm: alongMm + 30 }));
  const after: RigFrame[] = [];
  while (!program.ended) after.push(program.nextFrame());
  const feed = after.slice(20, 60).map(({ truth }) => truth.feedMmS / FILL.wireFeedMmS);
  for (const share of feed) expect(Math.abs(share - 0.8)).toBeLessThan(0.02);
  expect(
    after.filter(({ phase }, i) => phase === 'waiting' && after[i - 1]?.phase !== 'waiting'),
  ).toHaveLength(1);
});
