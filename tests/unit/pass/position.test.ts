/** Rules of docs/engine.md, "Position" and "Passes" (start and stop). Invented signals. */
import { describe, expect, test } from 'vitest';
import { assignmentOf, closedPasses, newEngine, SignalWriter } from '../../support/engine-run.ts';

const OFF = { weldingCurrent: 0, arcVoltage: 0, travelSpeed: 0, wireFeedSpeed: 0 };
const ARC = { weldingCurrent: 236, arcVoltage: 24, travelSpeed: 7.5, wireFeedSpeed: 171 };

describe('start and stop', () => {
  test('gas, arc, travel and out again, each with its time; standing arc beside the total', () => {
    const gas = { gasFlow: 20 };
    const standing = { ...ARC, travelSpeed: 0, ...gas };
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.assign(assignmentOf());
    engine.push(signal.stretch(1, { ...OFF, gasFlow: 0 }));
    engine.push(signal.stretch(0.8, { ...OFF, ...gas }));
    engine.push(signal.stretch(0.6, standing));
    engine.push(signal.stretch(10, { ...ARC, ...gas }));
    engine.push(signal.stretch(0.4, standing));
    engine.push(signal.stretch(3, { ...OFF, ...gas }));
    engine.push(signal.stretch(1, { ...OFF, gasFlow: 0 }));
    engine.finish();
    const [{ pass }] = closedPasses(engine.drain()) as [ReturnType<typeof closedPasses>[number]];
    expect(pass.sequence).toEqual({
      gasBeforeArcS: expect.closeTo(0.8, 6),
      arcBeforeTravelS: expect.closeTo(0.6, 6),
      arcAfterTravelS: expect.closeTo(0.4, 6),
      gasAfterArcS: expect.closeTo(3, 6),
    });
    expect(pass.standingArcS).toBeCloseTo(1, 6);
    expect(pass.standingArcKj).toBeCloseTo((236 * 24 * 1) / 1000, 4);
    expect(pass.arcEnergyKjMm).toBeCloseTo((236 * 24 * 11) / 1000 / 75, 5);
  });

  test('gas that is measured but not flowing at the start is 0 s of gas, not unknown', () => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.push(signal.stretch(1, { ...OFF, gasFlow: 0 }));
    engine.push(signal.stretch(5, { ...ARC, gasFlow: 0 }));
    engine.finish();
    expect(closedPasses(engine.drain())[0]!.pass.sequence).toMatchObject({
      gasBeforeArcS: 0,
      gasAfterArcS: null,
    });
  });
});

describe('position', () => {
  // Geometry: a quarter of the circumference is three hours of the clock.
  const quarterMm = (Math.PI * 610) / 4;

  test.each([
    ['B', 3],
    ['A', 9],
  ] as const)('side %s is at %i o’clock after a quarter of the circumference', (side, clock) => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.assign(assignmentOf({ side }));
    engine.push(signal.stretch(quarterMm / 7.5, ARC));
    engine.push(signal.stretch(0.02, ARC));
    const { position } = engine.live();
    expect(position!.alongMm).toBeCloseTo(quarterMm, 0);
    expect(position!.clock).toBeCloseTo(clock, 2);
  });

  test('travel reported on a band outside the pipe is brought to the weld: r_weld / r_ref', () => {
    // 20 mm off a 1067 mm pipe over-reads by 3.7 % (geometry: 20 / 533.5).
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine({ referenceRadiusMm: 533.5 + 20 });
    engine.assign(assignmentOf({ outsideDiameterMm: 1067 }));
    engine.push(signal.stretch(100, ARC));
    engine.finish();
    const { pass } = closedPasses(engine.drain())[0]!;
    expect((99.99 * 7.5) / pass.runOutLengthMm!).toBeCloseTo(1.0375, 4);
    expect(pass.meanTravelMmS).toBeCloseTo(7.5 / 1.03749, 3);
  });

  test('a gap widens the position uncertainty by last travel × gap, unless a distance channel bridges it', () => {
    const withGap = (distance: boolean): { unbridged: number; along: number } => {
      const signal = new SignalWriter({ periodS: 0.01 });
      const engine = newEngine({ positionUncertaintyMm: 5 });
      engine.assign(assignmentOf());
      const reading = (from: number) =>
        distance
          ? { weldingCurrent: 236, arcVoltage: 24, travelDistance: (s: number) => 7.5 * (from + s) }
          : ARC;
      engine.push(signal.stretch(10, reading(0)));
      signal.skip(4);
      engine.push(signal.stretch(1, reading(14)));
      const { position } = engine.live();
      return { unbridged: position!.uncertaintyMm - 10, along: position!.alongMm };
    };
    expect(withGap(false).unbridged).toBeCloseTo(7.5 * 4.01, 1);
    expect(withGap(true).unbridged).toBeCloseTo(0, 6);
    expect(withGap(true).along).toBeCloseTo(7.5 * 15, 0);
  });

  test('run-out leaves the gap out, position with a distance channel does not', () => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.assign(assignmentOf());
    const reading = (from: number) => ({
      weldingCurrent: 236,
      arcVoltage: 24,
      travelDistance: (s: number) => 7.5 * (from + s),
    });
    engine.push(signal.stretch(10, reading(0)));
    signal.skip(4);
    engine.push(signal.stretch(10, reading(14)));
    engine.finish();
    const { pass } = closedPasses(engine.drain())[0]!;
    expect(pass.runOutLengthMm).toBeCloseTo(7.5 * (9.99 + 9.99), 3);
    expect(pass.endPositionMm).toBeCloseTo(7.5 * 23.99, 3);
    expect(pass.unobservedS).toBeCloseTo(4.01, 6);
  });
});
