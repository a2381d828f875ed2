/** Rules of docs/engine.md, "Passes", "Position" and "Start and stop". Invented signals. */
import { describe, expect, test } from 'vitest';
import {
  assignmentOf,
  closedPasses,
  eventsOf,
  newEngine,
  procedureWith,
  SignalWriter,
} from '../../support/engine-run.ts';

const OFF = { weldingCurrent: 0, arcVoltage: 0, travelSpeed: 0, wireFeedSpeed: 0 };
const ARC = { weldingCurrent: 236, arcVoltage: 24, travelSpeed: 7.5, wireFeedSpeed: 171 };

describe('passes', () => {
  test('unassigned arcs less than 15 s apart are one pass with a restart, further apart two', () => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    for (const pause of [10, 16, 0]) {
      engine.push(signal.stretch(5, ARC));
      engine.push(signal.stretch(pause, OFF));
    }
    engine.finish();
    const passes = closedPasses(engine.drain()).map(({ pass }) => pass);
    expect(passes.map(pass => pass.restarts)).toEqual([1, 0]);
    expect(passes[0]!.stops).toEqual([{ startS: 5, endS: 15, positionMm: expect.closeTo(37.5, 6) }]);
    expect(passes[0]!.arcTimeS).toBeCloseTo(10, 9);
    expect(passes[0]!.elapsedS).toBeCloseTo(20, 9);
  });

  test('with an assignment a stop of minutes is a stop; other work closes the pass', () => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.assign(assignmentOf());
    engine.push(signal.stretch(5, ARC));
    engine.push(signal.stretch(300, OFF));
    engine.push(signal.stretch(5, ARC));
    engine.push(signal.stretch(1, OFF));
    expect(closedPasses(engine.drain())).toEqual([]);
    engine.assign(assignmentOf({ id: 'a2', joint: 'J-2' }));
    const [closed] = closedPasses(engine.drain());
    expect(closed).toMatchObject({
      assignment: { joint: 'J-1' },
      pass: { restarts: 1, procedurePass: 'fill 1' },
    });
  });

  test('other work while the arc burns cuts the pass at the next sample: nothing is lost or counted twice', () => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.assign(assignmentOf());
    engine.push(signal.stretch(5, ARC));
    engine.assign(assignmentOf({ id: 'a2', joint: 'J-2' }));
    engine.push(signal.stretch(5, ARC));
    engine.push(signal.stretch(1, OFF));
    engine.finish();
    const passes = closedPasses(engine.drain());
    expect(passes.map(({ assignment }) => assignment?.joint)).toEqual(['J-1', 'J-2']);
    expect(passes.map(({ pass }) => pass.arcTimeS)).toEqual([expect.closeTo(5, 9), expect.closeTo(5, 9)]);
  });

  test('work after a person closed the pass is a continuation that names the first, at its place on the joint', () => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.assign(assignmentOf());
    engine.push(signal.stretch(10, ARC));
    engine.push(signal.stretch(2, OFF));
    engine.closePass();
    engine.push(signal.stretch(10, ARC));
    engine.push(signal.stretch(2, OFF));
    engine.finish();
    const [first, second] = closedPasses(engine.drain()).map(({ pass }) => pass);
    expect(first).toMatchObject({ index: 1, continues: null });
    expect(second).toMatchObject({ index: 2, continues: 1, startPositionMm: expect.closeTo(75, 6) });
    expect(second!.reasons.map(reason => reason.code)).toContain('continuation');
  });

  test('a gap of more than 15 s in an arc ends the pass as interrupted at the sample before it', () => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.assign(assignmentOf());
    engine.push(signal.stretch(5, ARC));
    signal.skip(16);
    engine.push(signal.stretch(5, ARC));
    engine.push(signal.stretch(1, OFF));
    engine.finish();
    const [first, second] = closedPasses(engine.drain()).map(({ pass }) => pass);
    expect(first).toMatchObject({ endS: 4.99, unobservedS: 0 });
    expect(first!.reasons.map(reason => reason.code)).toContain('interrupted');
    expect(second).toMatchObject({ continues: 1 });
  });

  test('indices go on and open work is continued where an earlier engine left off', () => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine(
      {},
      {
        resume: {
          lastPassIndex: 7,
          openPass: { index: 7, assignmentId: 'a1', endPositionMm: 200, travelMmPerS: 7.5, endUs: -2e6 },
        },
      },
    );
    engine.assign(assignmentOf());
    engine.push(signal.stretch(3, ARC));
    engine.finish();
    const { pass } = closedPasses(engine.drain())[0]!;
    expect(pass).toMatchObject({ index: 8, continues: 7, startPositionMm: expect.closeTo(200, 6) });
    // 2 s at 7.5 mm/s between the two recordings, beside ± 20 mm of the zero.
    expect(pass.positionUncertaintyMm).toBeCloseTo(20 + 15, 6);
  });

  test('an arc with nothing assigned is recorded all the same and says that it is not judged', () => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.push(signal.stretch(3, ARC));
    engine.finish();
    const [{ pass }] = closedPasses(engine.drain()) as [ReturnType<typeof closedPasses>[number]];
    expect(pass.procedurePass).toBeNull();
    expect(pass.verdicts).toEqual([]);
    expect(pass.reasons.map(reason => reason.code)).toContain('noAssignment');
  });

  test('a procedure that arrives late judges the running pass', () => {
    const limits = [{ quantity: 'weldingCurrent', unit: 'A', basis: 'pass', min: 250, max: 300 }] as const;
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.assign(assignmentOf({ procedure: null }));
    engine.push(signal.stretch(3, ARC));
    engine.assign(assignmentOf({ procedure: procedureWith([...limits]) }));
    engine.push(signal.stretch(3, ARC));
    engine.finish();
    const passes = closedPasses(engine.drain());
    expect(passes).toHaveLength(1);
    expect(passes[0]!.pass.verdicts).toMatchObject([{ quantity: 'weldingCurrent', state: 'out' }]);
  });

  test('long silence tells the pass as it stands without closing it: late samples may still come', () => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.push(signal.stretch(5, ARC));
    engine.drain();
    engine.silence(5e6 + 20e6);
    expect(engine.live().arc).toBe('noData');
    const [told] = engine.drain();
    expect(told).toMatchObject({ kind: 'pass', state: 'open' });
    engine.push(signal.stretch(5, ARC));
    engine.finish();
    expect(closedPasses(engine.drain())[0]!.pass).toMatchObject({
      arcTimeS: expect.closeTo(9.99, 6),
      unobservedS: 0,
    });
  });
});

describe('shielding gas', () => {
  /** One pass of stretches of gas flow, L/min; null: not known. */
  const gasOf = (...flows: readonly (readonly [seconds: number, lPerMin: number | null])[]) => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.push(signal.stretch(5, { ...OFF, gasFlow: 15 }));
    for (const [seconds, flow] of flows) {
      engine.push(signal.stretch(seconds, { ...ARC, gasFlow: flow ?? Number.NaN }));
    }
    engine.push(signal.stretch(5, { ...OFF, gasFlow: 15 }));
    engine.finish();
    return closedPasses(engine.drain())[0]!.pass;
  };

  test('used is flow × time while the arc burns: 30 s at 15 and 30 s at 12 L/min are 13.5 L', () => {
    expect(gasOf([30, 15], [30, 12]).gasUsedL).toBeCloseTo(13.5, 3);
  });

  test('is null with a reason where the flow was not known for too long, absent where there is no channel', () => {
    const partly = gasOf([30, 15], [5, null]);
    expect(partly.gasUsedL).toBeNull();
    expect(partly.reasons.find(({ fields }) => fields.includes('gasUsedL'))?.code).toBe('partlyGasFlow');
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.push(signal.stretch(5, ARC));
    engine.finish();
    expect(closedPasses(engine.drain())[0]!.pass).not.toHaveProperty('gasUsedL');
  });
});

describe('missing channels and frames', () => {
  test('without travel the lengths are null with a reason, the energy stands', () => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.push(signal.stretch(5, { weldingCurrent: 236, arcVoltage: 24 }));
    engine.finish();
    const [{ pass }] = closedPasses(engine.drain()) as [ReturnType<typeof closedPasses>[number]];
    expect(pass).toMatchObject({
      runOutLengthMm: null,
      arcEnergyKjMm: null,
      standingArcS: null,
      wireUsedM: null,
    });
    expect(pass.arcEnergyKj).toBeCloseTo((236 * 24 * 4.99) / 1000, 4);
    const noTravel = pass.reasons.find(reason => reason.code === 'noTravel');
    expect(noTravel?.fields).toContain('runOutLengthMm');
  });

  test('frames integrate value × length; a lost frame is not filled in and is told', () => {
    const signal = new SignalWriter({ periodS: 0.01, framed: true });
    const engine = newEngine();
    engine.push(signal.stretch(5, ARC));
    signal.skip(0.03);
    engine.push(signal.stretch(5, ARC));
    engine.finish();
    const [{ pass }] = closedPasses(engine.drain()) as [ReturnType<typeof closedPasses>[number]];
    expect(pass.arcTimeS).toBeCloseTo(10, 9);
    expect(pass.unobservedS).toBe(0);
    expect(pass.reasons.find(reason => reason.code === 'framesMissing')?.text).toContain('0.030 s');
  });
});

describe('labels of a recording', () => {
  test('the same label is the same pass however long the stop; another label is another pass', () => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    for (const [label, pause] of [
      ['root', 30],
      ['root', 1],
      ['hot', 1],
    ] as const) {
      engine.label(label);
      engine.push(signal.stretch(4, ARC));
      engine.push(signal.stretch(pause, OFF));
    }
    engine.finish();
    const passes = closedPasses(engine.drain()).map(({ pass }) => pass);
    expect(passes.map(pass => [pass.label, pass.restarts])).toEqual([
      ['root', 1],
      ['hot', 0],
    ]);
  });
});

test('arc and pass events are told with their places', () => {
  const signal = new SignalWriter({ periodS: 0.01 });
  const engine = newEngine();
  engine.assign(assignmentOf());
  engine.push(signal.stretch(1, OFF));
  engine.push(signal.stretch(4, ARC));
  engine.push(signal.stretch(1, OFF));
  engine.finish();
  const effects = engine.drain();
  expect(eventsOf(effects, 'arcStart')).toMatchObject([{ tUs: 1e6, passIndex: 1, data: { positionMm: 0 } }]);
  expect(eventsOf(effects, 'arcStop')).toMatchObject([
    { tUs: 5e6, data: { positionMm: expect.closeTo(30, 6) } },
  ]);
});

test('travel that counts backwards or stands gives no kJ/mm, and every null says why', () => {
  for (const [travelSpeed, code] of [
    [-7.5, 'travelBackwards'],
    [0, 'noRunOut'],
  ] as const) {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.push(signal.stretch(5, { ...ARC, travelSpeed }));
    engine.finish();
    const [{ pass }] = closedPasses(engine.drain()) as [ReturnType<typeof closedPasses>[number]];
    expect(pass.arcEnergyKjMm).toBeNull();
    expect(pass.reasons.find(reason => reason.code === code)?.fields).toContain('arcEnergyKjMm');
    const explained = new Set(pass.reasons.flatMap(reason => reason.fields));
    const nulls = Object.entries(pass).filter(([field, value]) => value === null && !NAMES.has(field));
    expect(nulls.map(([field]) => field).filter(field => !explained.has(field))).toEqual([]);
  }
});

/** Null here says that there is none, not that a value is unknown. */
const NAMES = new Set(['continues', 'label']);
