import { describe, expect, it } from 'vitest';
import {
  COMMANDS,
  nextSequence,
  SEQUENCE_IDLE,
  SEQUENCE_TIMES,
  type SequencePhase,
} from '../../../simulator/rig/pass-sequence.ts';
import { DEMO_SCENARIO } from '../../../simulator/scenario/demo-scenario.ts';
import { plannedPasses } from '../../../simulator/scenario/joint-plan.ts';
import { rigsOfScenario } from '../../../simulator/scenario/rigs-of-scenario.ts';
import { type ScenarioInput, scenarioSchema } from '../../../simulator/scenario/scenario.ts';

describe('start and stop sequence', () => {
  it('goes through gas, arc, dwell, travel, crater, burn-back and gas, with a stop on the way', () => {
    let state = SEQUENCE_IDLE;
    let along = 0;
    const seen: SequencePhase[] = [];
    const timeIn: Partial<Record<SequencePhase, number>> = {};
    for (let ms = 0; ms < 30_000; ms++) {
      state = nextSequence(
        state,
        {
          stepS: 0.001,
          start: ms === 10,
          arcBurning: state.phase === 'strike' && state.inPhaseS > 0.05,
          alongMm: along,
          lengthMm: 50,
          stops: [{ atMm: 20, pauseS: 4 }],
        },
        SEQUENCE_TIMES,
      );
      if (COMMANDS[state.phase].travel) along += 0.01;
      if (seen.at(-1) !== state.phase) seen.push(state.phase);
      timeIn[state.phase] = (timeIn[state.phase] ?? 0) + 0.001;
    }
    const once = ['gasBefore', 'strike', 'dwell', 'travel', 'crater', 'burnBack', 'gasAfter'];
    expect(seen).toEqual(['idle', ...once, 'waiting', ...once, 'idle']);
    expect(timeIn.waiting).toBeCloseTo(4, 2);
    expect(timeIn.gasBefore).toBeCloseTo(2 * SEQUENCE_TIMES.gasBeforeS, 2);
    expect(timeIn.dwell).toBeCloseTo(2 * SEQUENCE_TIMES.dwellS, 2);
    expect(timeIn.travel).toBeCloseTo(5, 1);
  });

  it('never feeds wire or moves without gas', () => {
    for (const commands of Object.values(COMMANDS)) {
      if (commands.output || commands.travel || commands.feedShare > 0) expect(commands.gas).toBe(true);
    }
  });
});

const scenario = (more: Partial<ScenarioInput> = {}) =>
  scenarioSchema.parse({
    schema: 'girthlog.scenario/1',
    joints: { count: 2 },
    rig: [
      { id: 'rig-a', side: 'A' },
      { id: 'rig-b', side: 'B' },
    ],
    ...more,
  });

describe('joint plan', () => {
  const plan = scenario();
  const sideA = [...plannedPasses(plan, plan.rig[0]!, 0)];
  const sideB = [...plannedPasses(plan, plan.rig[1]!, 0)];

  it('both sides close the circumference with the planned overlap, at every layer', () => {
    for (const [i, a] of sideA.entries()) {
      const b = sideB[i]!;
      expect([b.joint, b.setPoint.name, b.startsAtS]).toEqual([a.joint, a.setPoint.name, a.startsAtS]);
      expect(a.lengthMm + b.lengthMm).toBeCloseTo(Math.PI * 610 + 10, 9);
      // Where A begins past the top, B begins as far before it.
      expect(a.startDegrees).toBeCloseTo(-b.startDegrees, 9);
    }
  });

  it('staggers the starts from layer to layer and numbers the joints', () => {
    const starts = sideA.slice(0, 6).map(pass => Math.sign(pass.startDegrees));
    expect(starts).toEqual([1, -1, 1, -1, 1, -1]);
    expect([...new Set(sideA.map(pass => pass.joint))]).toEqual(['J-0101', 'J-0102']);
  });

  it('places a clock position in the direction of the side', () => {
    const faulty = scenario({
      schedule: { stagger_mm: 0 },
      fault: [{ kind: 'badEarth', size: 5, from_clock: 3, to_clock: 4, side: 'B' }],
    });
    const [b] = plannedPasses(faulty, faulty.rig[1]!, 0);
    // 3 o'clock is a quarter of 1916.4 mm along side B, which goes clockwise.
    expect(b!.faults[0]!.fromMm).toBeCloseTo((Math.PI * 610) / 4, 6);
    const mirrored = scenario({
      schedule: { stagger_mm: 0 },
      fault: [{ kind: 'badEarth', size: 5, from_clock: 9, to_clock: 8, side: 'A' }],
    });
    const [a] = plannedPasses(mirrored, mirrored.rig[0]!, 0);
    expect(a!.faults[0]!.fromMm).toBeCloseTo((Math.PI * 610) / 4, 6);
  });

  it('applies faults to the joints they name', () => {
    const faulty = scenario({
      joints: { count: 7 },
      fault: [{ kind: 'travelOffset', size: 5, pass: 'hot', joint: 2, every: 3 }],
    });
    const hot = [...plannedPasses(faulty, faulty.rig[0]!, 0)].filter(pass => pass.setPoint.name === 'hot');
    expect(hot.map(pass => pass.faults.length)).toEqual([0, 1, 0, 0, 1, 0, 0]);
  });

  it('gives further crews ids and joints of their own', () => {
    const runs = rigsOfScenario(plan, 1, 5, 20);
    expect(runs.map(({ settings }) => `${settings.id} ${settings.side}`)).toEqual([
      'rig-a A',
      'rig-b B',
      'rig-c A',
      'rig-d B',
      'rig-e A',
    ]);
    const [first] = plannedPasses(plan, plan.rig[0]!, 1);
    expect(first!.joint).toBe('J-1101');
  });
});

describe('a whole joint', () => {
  it('is welded to length, on time, and the program says what truly was', () => {
    const one = scenario({ joints: { count: 1 }, pipe: { outside_diameter_mm: 168 } });
    const [run] = rigsOfScenario(one, 4, 1, 20);
    const events = [];
    while (!run!.program.ended) {
      run!.program.nextFrame();
      events.push(...run!.program.drainEvents());
    }
    const done = events.filter(event => event.event === 'passDone');
    expect(done.map(event => event.pass.setPoint.name)).toEqual([
      'root',
      'hot',
      'fill 1',
      'fill 2',
      'fill 3',
      'cap',
    ]);
    const wanted = (Math.PI * 168) / 2 + 5;
    for (const { truth, pass } of done) {
      expect(truth.lengthMm).toBeGreaterThanOrEqual(wanted);
      expect(truth.lengthMm).toBeLessThan(wanted + 4);
      expect(truth.arcTimeS).toBeGreaterThan(wanted / pass.setPoint.travelMmS);
      expect(truth.energyKj).toBeGreaterThan(0);
    }
    const ahead = events.filter(event => event.event === 'passAhead');
    for (const event of ahead) expect(event.atS).toBeCloseTo(event.pass.startsAtS - 4, 2);
  });
});

it('the built-in scenario shows an out-of-range value within the first three minutes', () => {
  const rig = DEMO_SCENARIO.rig[0]!;
  const passes = plannedPasses(DEMO_SCENARIO, rig, 0);
  passes.next();
  const hot = passes.next().value!;
  const fault = hot.faults[0]!;
  expect(hot.startsAtS + fault.fromMm / hot.setPoint.travelMmS).toBeLessThan(160);
});
