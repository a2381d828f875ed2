/** Where the comparison cannot be made the pass says why. Invented signals, our own rules. */
import { describe, expect, test } from 'vitest';
import type { EngineEffect } from '#core/pass/engine-api';
import type { Procedure } from '#core/procedure/procedure';
import { assignmentOf, newEngine, type Reading, SignalWriter } from '../../support/engine-run.ts';
import {
  EXAMPLE,
  engineFor,
  HOT,
  OFF,
  reasonsOf,
  STANDING,
  told,
  weld,
  without,
} from '../../support/pass-match-signals.ts';

describe('not compared, with the reason on the pass', () => {
  const run = (reading: Reading, seconds = 6, engine = engineFor()): EngineEffect[] => {
    const effects = weld(engine, [
      [1, OFF],
      [0.5, STANDING],
      [seconds, reading],
      [1, OFF],
    ]);
    engine.finish();
    return [...effects, ...engine.drain()];
  };

  test.each([
    ['no travel', without(HOT, 'travelSpeed'), 6, 'less than 25 mm was welded without a stop'],
    ['no wire feed', without(HOT, 'wireFeedSpeed'), 6, 'the wire feed was not known where travel started'],
    ['too short', HOT, 1, 'less than 25 mm was welded without a stop'],
  ])('%s', (_, reading, seconds, why) => {
    const effects = run(reading, seconds);
    expect(told(effects)).toEqual([]);
    expect(reasonsOf(effects)).toEqual([
      {
        code: 'passNotCompared',
        fields: ['procedurePass'],
        text: `not compared with the other passes of the procedure: ${why}`,
      },
    ]);
  });

  test('a source without travel', () => {
    const engine = engineFor();
    const silent = without(OFF, 'travelSpeed');
    const effects = weld(engine, [
      [1, silent],
      [6, without(HOT, 'travelSpeed')],
      [1, silent],
    ]);
    engine.finish();
    expect(reasonsOf([...effects, ...engine.drain()])[0]!.text).toMatch(/: the source gives no travel$/);
  });

  test('a stretch that was not observed is made up for, up to 50 mm', () => {
    const writer = new SignalWriter({ periodS: 0.01 });
    const engine = engineFor();
    const distance = (from: number, speed: number) => (s: number) => from + speed * s;
    engine.push(writer.stretch(1, { ...OFF, travelDistance: 0 }));
    engine.push(writer.stretch(0.5, { ...STANDING, travelDistance: 0 }));
    engine.push(writer.stretch(0.4, { ...HOT, travelDistance: distance(0, 17.5) }));
    // 17.5 mm unseen: at 25 mm only half a millimetre of settled weld is known.
    writer.skip(1);
    engine.push(writer.stretch(3, { ...HOT, travelDistance: distance(24.5, 17.5) }));
    const [event] = told(engine.drain());
    expect(event!.data['travelledMm']).toBeGreaterThan(30);
    expect(event!.data['travelledMm']).toBeLessThan(50);
  });

  test('more than 40 mm unseen: not compared', () => {
    const writer = new SignalWriter({ periodS: 0.01 });
    const engine = engineFor();
    engine.push(writer.stretch(1, { ...OFF, travelDistance: 0 }));
    engine.push(writer.stretch(0.5, { ...STANDING, travelDistance: 0 }));
    engine.push(writer.stretch(0.4, { ...HOT, travelDistance: s => 17.5 * s }));
    writer.skip(3);
    engine.push(writer.stretch(3, { ...HOT, travelDistance: s => 59.5 + 17.5 * s }));
    engine.finish();
    const effects = engine.drain();
    expect(told(effects)).toEqual([]);
    expect(reasonsOf(effects)[0]!.text).toMatch(/: only [23] mm of the first 50 mm was observed$/);
  });

  test('a procedure that arrives while the arc burns is in time: from there on it is compared', () => {
    const late = (seconds: number): EngineEffect[] => {
      const engine = engineFor('fill 1', null);
      const writer = new SignalWriter({ periodS: 0.01 });
      engine.push(writer.stretch(1, OFF));
      engine.push(writer.stretch(0.5, STANDING));
      engine.push(writer.stretch(seconds, HOT));
      // The same work with its procedure: begins with the next sample.
      engine.assign(assignmentOf({ pass: 'fill 1', procedure: EXAMPLE }));
      engine.push(writer.stretch(4, HOT));
      engine.finish();
      return engine.drain();
    };
    expect(told(late(2)).map(({ data }) => data['likelier'])).toEqual(['hot']);
    expect(told(late(4)).map(({ data }) => data['likelier'])).toEqual(['hot']);
  });

  test('nothing is said of unassigned work, or where the procedure has one pass', () => {
    const unassigned = newEngine();
    expect(told(run(HOT, 6, unassigned))).toEqual([]);
    const single: Procedure = { ...EXAMPLE, passes: EXAMPLE.passes.filter(({ name }) => name === 'fill 1') };
    const effects = run(HOT, 6, engineFor('fill 1', single));
    expect(told(effects)).toEqual([]);
    expect(reasonsOf(effects)).toEqual([]);
  });
});
