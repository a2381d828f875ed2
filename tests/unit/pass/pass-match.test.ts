/** The comparison as the engine runs it: lengths, restarts, the device's number. Invented signals, our own rules. */
import { describe, expect, test } from 'vitest';
import { assignmentOf, newEngine, type Reading, SignalWriter } from '../../support/engine-run.ts';
import {
  EXAMPLE,
  engineFor,
  FILL,
  HOT,
  OFF,
  STANDING,
  told,
  weld,
  without,
} from '../../support/pass-match-signals.ts';

describe('when it is told', () => {
  test('at 25 mm after travel starts, not after the arc does; with what was measured', () => {
    const effects = weld(engineFor(), [
      [1, OFF],
      [3, { ...STANDING, program: 2 }],
      [4, HOT],
      [1, OFF],
    ]);
    const [event, ...more] = told(effects);
    expect(more).toEqual([]);
    expect(event).toMatchObject({
      passIndex: 1,
      text: 'Looks like hot, not fill 1: feed 11.5 m/min, travel 17.5 mm/s, program 2.',
    });
    // 25 mm at 17.5 mm/s, and at most one slice of 50 ms more.
    expect(event!.tUs / 1e6).toBeGreaterThanOrEqual(4 + 25 / 17.5);
    expect(event!.tUs / 1e6).toBeLessThanOrEqual(4 + 25 / 17.5 + 0.06);
    expect(event!.data).toMatchObject({
      assigned: 'fill 1',
      likelier: 'hot',
      program: 2,
    });
    expect(event!.data['distanceLikelier']).toBeCloseTo(0, 9);
    expect(event!.data['distances']).toMatch(/^root \d+\.\d\d, hot 0\.00, fill 1 /);
  });

  test('the carriage’s way to its speed is left out', () => {
    const ramp: Reading = { ...HOT, travelSpeed: s => Math.min(17.5, 30 * s) };
    const [event] = told(
      weld(engineFor(), [
        [1, OFF],
        [0.5, STANDING],
        [4, ramp],
        [1, OFF],
      ]),
    );
    expect(event!.data['travelMmS']).toBeGreaterThan(17);
  });

  test('live while the arc burns, and not after', () => {
    const engine = engineFor();
    weld(engine, [
      [1, OFF],
      [0.5, STANDING],
      [4, HOT],
    ]);
    expect(engine.live().passMismatch).toMatchObject({ assigned: 'fill 1', likelier: ['hot'], program: 2 });
    const writer = new SignalWriter({ periodS: 0.01 });
    writer.skip(5.5);
    engine.push(writer.stretch(2, OFF));
    expect(engine.live().passMismatch).toBeNull();
  });

  test('other work in hand takes it away', () => {
    const engine = engineFor();
    weld(engine, [
      [1, OFF],
      [0.5, STANDING],
      [4, HOT],
    ]);
    engine.assign(assignmentOf({ id: 'a2', pass: 'hot', procedure: EXAMPLE }));
    const writer = new SignalWriter({ periodS: 0.01 });
    writer.skip(5.5);
    engine.push(writer.stretch(4, HOT));
    expect(engine.live().passMismatch).toBeNull();
    expect(told(engine.drain())).toEqual([]);
  });
});

describe('once a pass', () => {
  const start = [0.5, STANDING] as const;

  test('not again after a restart with the same set, and live again', () => {
    const engine = engineFor();
    const effects = weld(engine, [[1, OFF], start, [4, HOT], [3, OFF], start, [4, HOT]]);
    expect(told(effects).length).toBe(1);
    expect(engine.live().passMismatch).toMatchObject({ likelier: ['hot'] });
  });

  test('again after a restart when it has changed, either way', () => {
    const right = weld(engineFor(), [[1, OFF], start, [4, HOT], [3, OFF], start, [6, FILL], [1, OFF]]);
    expect(told(right).map(({ text }) => text)).toEqual([
      'Looks like hot, not fill 1: feed 11.5 m/min, travel 17.5 mm/s, program 2.',
      'No longer looks like hot: feed 10.3 m/min, travel 7.5 mm/s, program 3.',
    ]);
    const wrong = weld(engineFor(), [[1, OFF], start, [6, FILL], [3, OFF], start, [4, HOT], [1, OFF]]);
    expect(told(wrong).map(({ data }) => data['likelier'])).toEqual(['hot']);
  });

  test('a set that changes later in the same arc is a matter of limits', () => {
    expect(told(weld(engineFor(), [[1, OFF], start, [6, FILL], [6, HOT], [1, OFF]]))).toEqual([]);
  });

  test('corrected while the arc burns: told to be over', () => {
    const effects = weld(engineFor(), [[1, OFF], start, [3, HOT], [12, FILL], [1, OFF]]);
    expect(told(effects).map(({ data }) => data['likelier'])).toEqual(['hot', null]);
  });
});

describe('the device’s number', () => {
  test('alone tells identical passes apart', () => {
    const effects = weld(engineFor(), [
      [1, OFF],
      [0.5, STANDING],
      [6, { ...FILL, program: 4 }],
      [1, OFF],
    ]);
    expect(told(effects).map(({ data }) => data['likelier'])).toEqual(['fill 2']);
  });

  test('without it identical passes are nothing to speak of', () => {
    const effects = weld(engineFor(), [
      [1, OFF],
      [0.5, STANDING],
      [6, without(FILL, 'program')],
      [1, OFF],
    ]);
    expect(told(effects)).toEqual([]);
  });

  test('one that changes in the stretch is not used', () => {
    const flips: Reading = { ...FILL, program: s => (s < 2 ? 3 : 4) };
    expect(
      told(
        weld(engineFor(), [
          [1, OFF],
          [0.5, STANDING],
          [6, flips],
          [1, OFF],
        ]),
      ),
    ).toEqual([]);
  });

  test('one selected just before travel starts counts, one said only now and then too', () => {
    const rare: Reading = { ...FILL, program: s => (Math.round(s * 100) % 150 === 0 ? 4 : Number.NaN) };
    const effects = weld(engineFor(), [
      [1, OFF],
      [0.5, { ...STANDING, program: 4 }],
      [6, rare],
      [1, OFF],
    ]);
    expect(told(effects).map(({ data }) => data['likelier'])).toEqual(['fill 2']);
  });

  test('one that was last said long ago is unknown', () => {
    const silent = without(FILL, 'program');
    const effects = weld(engineFor(), [
      [1, { ...OFF, program: 4 }],
      [3, without(STANDING, 'program')],
      [6, silent],
      [1, OFF],
    ]);
    expect(told(effects)).toEqual([]);
  });
});

test('travel on the band counts at the weld: a band 20 mm off the pipe is no wrong pass', () => {
  const engine = newEngine({ referenceRadiusMm: 325 });
  engine.assign(assignmentOf({ pass: 'fill 1', procedure: EXAMPLE }));
  const [event] = told(
    weld(engine, [
      [1, OFF],
      [0.5, STANDING],
      [4, { ...HOT, travelSpeed: (17.5 * 325) / 305 }],
      [1, OFF],
    ]),
  );
  expect(event!.data['travelMmS']).toBeCloseTo(17.5, 6);
});
