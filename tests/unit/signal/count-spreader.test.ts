/** Counters that move in steps: rules of docs/engine.md "Counters". Invented signals. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { sliceChunk } from '#core/sample/chunk';
import { CountSpreader } from '#core/signal/count-spreader';
import {
  assignmentOf,
  closedPasses,
  newEngine,
  procedureWith,
  SignalWriter,
} from '../../support/engine-run.ts';

/** Whole counts of a length that grows at `mmPerS`. */
const counted =
  (mmPerS: number, countMm: number, fromS = 0) =>
  (s: number): number =>
    Math.floor((mmPerS * (fromS + s)) / countMm + 1e-9) * countMm;

const OFF = { weldingCurrent: 0, arcVoltage: 0 };
const ARC = { weldingCurrent: 236, arcVoltage: 24 };

describe('coarse counters', () => {
  test('wire counted in 10 mm at 50 readings a second does not hide the arc', () => {
    const signal = new SignalWriter({ periodS: 0.02 });
    const engine = newEngine({ samplePeriodS: 0.02 });
    engine.push(signal.stretch(1, { ...OFF, wireLength: 0 }));
    engine.push(signal.stretch(10, { ...ARC, wireLength: counted(160, 10) }));
    engine.push(signal.stretch(2, { ...OFF, wireLength: 1600 }));
    engine.finish();
    const [closed] = closedPasses(engine.drain());
    expect(closed!.pass.arcTimeS).toBeGreaterThan(9.8);
    expect(closed!.pass.wireUsedM).toBeCloseTo(1.6, 1);
  });

  test('travel counted in 1 mm moves all the time, and its windows are of the true speed', () => {
    const limits = [{ quantity: 'travelSpeed', unit: 'mm/s', basis: 'window', min: 7, max: 9 }] as const;
    const signal = new SignalWriter({ periodS: 0.02 });
    const options = { procedure: procedureWith([...limits]), passName: 'fill 1' };
    const engine = newEngine({ samplePeriodS: 0.02 }, options);
    engine.push(signal.stretch(20, { ...ARC, travelDistance: counted(8, 1) }));
    engine.push(signal.stretch(2, { ...OFF, travelDistance: 160 }));
    engine.finish();
    const { pass } = closedPasses(engine.drain())[0]!;
    expect(pass.runOutLengthMm).toBeCloseTo(160, 0);
    expect(pass.standingArcS).toBeLessThan(0.2);
    expect(pass.verdicts).toMatchObject([{ state: 'in' }]);
  });

  test('a counter that stands for longer than half a second stands', () => {
    const signal = new SignalWriter({ periodS: 0.02 });
    const engine = newEngine({ samplePeriodS: 0.02 });
    engine.push(signal.stretch(3, { ...ARC, travelDistance: 0 }));
    engine.push(signal.stretch(5, { ...ARC, travelDistance: counted(8, 1) }));
    engine.finish();
    const { pass } = closedPasses(engine.drain())[0]!;
    expect(pass.standingArcS).toBeGreaterThan(2.4);
    expect(pass.standingArcS).toBeLessThan(3.2);
  });

  test.each([
    ['fine', 0.01],
    ['whole millimetres', 1],
  ])('a counter of %s that is set to 0 between two arcs moves nothing', (_, countMm) => {
    const signal = new SignalWriter({ periodS: 0.02 });
    const engine = newEngine({ samplePeriodS: 0.02 });
    engine.assign(assignmentOf());
    engine.push(signal.stretch(20, { ...ARC, travelDistance: counted(8, countMm) }));
    engine.push(signal.stretch(3, { ...OFF, travelDistance: 160 }));
    engine.push(signal.stretch(3, { ...OFF, travelDistance: 0 }));
    engine.push(signal.stretch(10, { ...ARC, travelDistance: counted(8, countMm) }));
    engine.push(signal.stretch(3, { ...OFF, travelDistance: 80 }));
    engine.finish();
    const { pass } = closedPasses(engine.drain())[0]!;
    expect(pass.restarts).toBe(1);
    // 160 mm and 80 mm at the reference radius, whatever the counter was set to between them.
    expect(pass.endPositionMm! / pass.runOutLengthMm!).toBeCloseTo(1, 2);
    expect(pass.stops[0]!.positionMm! / pass.runOutLengthMm!).toBeCloseTo(160 / 240, 2);
  });

  test.each([50, 5])(
    'a counter that begins anew with its device does not take the torch back, at %i Hz',
    hz => {
      const signal = new SignalWriter({ periodS: 1 / hz });
      const engine = newEngine({ samplePeriodS: 1 / hz });
      engine.assign(assignmentOf());
      engine.push(signal.stretch(20, { ...ARC, travelDistance: counted(8, 0.01) }));
      signal.skip(4);
      engine.push(signal.stretch(10, { ...ARC, travelDistance: counted(8, 0.01, 0.5) }));
      engine.finish();
      const { pass } = closedPasses(engine.drain())[0]!;
      // 20 s and 10 s of arc: nothing is known of the time between, and it is told.
      expect(pass.unobservedS).toBeCloseTo(4, 0);
      expect(pass.endPositionMm! / pass.runOutLengthMm!).toBeCloseTo(1, 1);
      const travelMmPerS = pass.runOutLengthMm! / pass.arcTimeS;
      expect(pass.positionUncertaintyMm!).toBeGreaterThan(3.9 * travelMmPerS);
    },
  );

  test('a cell that cannot be read is bridged: the length is exact', () => {
    const signal = new SignalWriter({ periodS: 0.02 });
    const engine = newEngine({ samplePeriodS: 0.02 });
    const distance = (s: number): number => (Math.round(s * 50) % 20 === 7 ? Number.NaN : 8 * s);
    engine.push(signal.stretch(10, { ...ARC, travelDistance: distance }));
    engine.finish();
    expect(closedPasses(engine.drain())[0]!.pass.runOutLengthMm).toBeCloseTo(8 * 9.98, 3);
  });
});

test('any pieces give the same samples, and lengths between settled counts are kept', () => {
  const step = fc.tuple(fc.integer({ min: 1, max: 400 }), fc.constantFrom(0, 0, 0, 1, 2, Number.NaN));
  fc.assert(
    fc.property(
      fc.array(step, { minLength: 2, maxLength: 80 }),
      fc.array(fc.nat({ max: 80 })),
      (steps, cuts) => {
        let us = 0;
        let mm = 0;
        const rows = steps.map(([ms, count]) => {
          us += ms * 1000;
          if (!Number.isNaN(count)) mm += count;
          return { us, mm: Number.isNaN(count) ? count : mm };
        });
        const tUs = Float64Array.from(rows, row => row.us);
        const travelDistance = Float64Array.from(rows, row => row.mm);
        const chunk = { n: steps.length, tUs, lengthUs: null, columns: { travelDistance } };
        const run = (edges: number[]): number[] => {
          const spreader = new CountSpreader();
          const parts = edges.slice(1).map((to, i) => spreader.push(sliceChunk(chunk, edges[i]!, to)));
          return [...parts, spreader.flush()].flatMap(part => [...(part.columns.travelDistance ?? [])]);
        };
        const whole = run([0, chunk.n]);
        const edges = [0, ...new Set(cuts.filter(cut => cut > 0 && cut < chunk.n)), chunk.n].sort(
          (a, b) => a - b,
        );
        expect(run(edges)).toEqual(whole);
        expect(whole).toHaveLength(chunk.n);
        // A count that was read stays where it was read, or is spread before it, never beyond it.
        whole.forEach((value, i) => {
          const read = travelDistance[i]!;
          if (!Number.isNaN(value) && !Number.isNaN(read)) expect(value).toBeGreaterThanOrEqual(read - 1e-9);
        });
      },
    ),
  );
});
