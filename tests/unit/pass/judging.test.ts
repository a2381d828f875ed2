/** Rules of docs/engine.md, "Judging" and "Out of range now". Invented signals and limits. */

import { describe, expect, test } from 'vitest';
import type { Limit } from '#core/procedure/procedure';
import {
  assignmentOf,
  closedPasses,
  eventsOf,
  newEngine,
  procedureWith,
  type Reading,
  SignalWriter,
} from '../../support/engine-run.ts';

const OFF = { weldingCurrent: 0, arcVoltage: 0, travelSpeed: 0 };
const ARC = { weldingCurrent: 236, arcVoltage: 24, travelSpeed: 7.5 };
const KNOWN = { current: 0.015, voltage: 0.01, wireFeed: 0.02, travel: 0.02 };

function judged(limits: Limit[], stretches: [number, Reading][], settings = {}, extra = {}) {
  const signal = new SignalWriter({ periodS: 0.01 });
  const engine = newEngine(settings);
  engine.assign(assignmentOf({ procedure: procedureWith(limits, extra) }));
  for (const [seconds, reading] of stretches) engine.push(signal.stretch(seconds, reading));
  engine.push(signal.stretch(1, OFF));
  engine.finish();
  const effects = engine.drain();
  const [closed] = closedPasses(effects);
  return { effects, pass: closed!.pass, deviations: closed!.deviations };
}

describe('pass averages', () => {
  const limit = (min: number, max: number): Limit => ({
    quantity: 'weldingCurrent',
    unit: 'A',
    basis: 'pass',
    min,
    max,
  });

  test('in, marginal within the uncertainty of a limit, out with a deviation over the whole pass', () => {
    const { pass, deviations } = judged([limit(200, 280), limit(232, 280), limit(240, 280)], [[10, ARC]], {
      uncertainty: KNOWN,
    });
    expect(pass.verdicts.map(verdict => verdict.state)).toEqual(['in', 'marginal', 'out']);
    // 2 × 1.5 % of 236 A.
    expect(pass.verdicts[0]!.expandedUncertainty).toBeCloseTo(7.08, 3);
    expect(deviations).toMatchObject([{ basis: 'pass', min: 240, fromMm: 0, toMm: expect.closeTo(75, 6) }]);
  });

  test('standard uncertainties of V 1 %, I 1.5 %, travel 2 % make 5.4 % of arc energy at k = 2 (GUM)', () => {
    const energy: Limit = { quantity: 'arcEnergy', unit: 'kJ/mm', basis: 'pass', min: 0.5, max: 1 };
    const { pass } = judged([energy], [[10, ARC]], { uncertainty: KNOWN });
    const [verdict] = pass.verdicts;
    expect(verdict!.expandedUncertainty! / verdict!.value!).toBeCloseTo(0.0539, 4);
  });

  test('without uncertainties nothing is called marginal', () => {
    const { pass } = judged([limit(235.9, 280)], [[10, ARC]]);
    expect(pass.verdicts).toMatchObject([{ state: 'in', expandedUncertainty: null }]);
  });

  test('limits are converted to the stored unit', () => {
    const feed: Limit = { quantity: 'wireFeedSpeed', unit: 'm/min', basis: 'pass', min: 9, max: 12 };
    const { pass } = judged([feed], [[5, { ...ARC, wireFeedSpeed: 171 }]]);
    expect(pass.verdicts).toMatchObject([{ unit: 'mm/s', min: 150, max: 200, state: 'in' }]);
  });

  test('a reading the stream does not carry, and the wrong energy method, are not judged, with the reason', () => {
    const limits: Limit[] = [
      { quantity: 'preheatTemperature', unit: 'Cel', basis: 'pass', min: 100 },
      { quantity: 'arcEnergy', unit: 'kJ/mm', basis: 'pass', max: 1 },
    ];
    const { pass } = judged(limits, [[5, ARC]], {}, { waveformControlled: true });
    expect(pass.verdicts.map(verdict => verdict.state)).toEqual(['notJudged', 'notJudged']);
    expect(pass.verdicts[1]!.reason).toContain('waveform controlled');
    expect(pass.reasons.map(reason => reason.code)).toContain('energyMethod');
  });
});

describe('windows of weld length', () => {
  const limit: Limit = { quantity: 'weldingCurrent', unit: 'A', basis: 'window', min: 190, max: 260 };

  test('length out and longest run, as a deviation with its place', () => {
    const low = { ...ARC, weldingCurrent: 180 };
    const { pass, deviations } = judged(
      [limit],
      [
        [20, ARC],
        [10, low],
        [20, ARC],
      ],
    );
    const [verdict] = pass.verdicts;
    expect(verdict).toMatchObject({ state: 'out', value: expect.closeTo(180, 2) });
    expect(verdict!.outLengthMm).toBeGreaterThanOrEqual(50);
    expect(verdict!.outLengthMm).toBeLessThanOrEqual(100.5);
    expect(verdict!.longestRunMm).toBe(verdict!.outLengthMm);
    expect(deviations).toHaveLength(1);
    expect(deviations[0]!.fromMm).toBeCloseTo(150, -1.5);
    expect(deviations[0]!.toMm).toBeCloseTo(225, -1.5);
  });

  test('a window holds the whole number of oscillation cycles nearest 25 mm', () => {
    // 2.5 cycles/s at 7.5 mm/s: 3 mm a cycle; 8 cycles, 24 mm, are nearest 25 mm.
    const { deviations } = judged([{ ...limit, min: 240 }], [[60, { ...ARC, oscillationFrequency: 2.5 }]]);
    const span = deviations[0]!;
    expect(span.toMm! - span.fromMm!).toBeCloseTo(450, 0);
    const windows = Math.round(span.outLengthMm! / 24);
    expect(span.outLengthMm! / windows).toBeCloseTo(24, 0);
  });

  test('standing time is in no window: a long dwell does not make the travel of the first window slow', () => {
    const travel: Limit = { quantity: 'travelSpeed', unit: 'mm/s', basis: 'window', min: 7, max: 8 };
    const { pass } = judged(
      [travel],
      [
        [3, { ...ARC, travelSpeed: 0 }],
        [20, ARC],
      ],
    );
    expect(pass.verdicts).toMatchObject([{ state: 'in' }]);
  });

  test('a limit in a clock zone judges only the weld in that zone', () => {
    // Side B: 12 to 3 o'clock is the first quarter of 1916 mm; the low current lies behind it.
    const low = { ...ARC, weldingCurrent: 150 };
    const zone: Limit = { ...limit, clockZone: { from: 12, to: 3 } };
    const { pass } = judged(
      [zone, limit],
      [
        [66, ARC],
        [10, low],
        [1, ARC],
      ],
    );
    expect(pass.verdicts.map(verdict => verdict.state)).toEqual(['in', 'out']);
  });

  test('without travel there are no windows, and that is said', () => {
    const { pass } = judged([limit], [[10, { weldingCurrent: 236, arcVoltage: 24 }]]);
    expect(pass.verdicts).toMatchObject([{ state: 'notJudged', reason: expect.stringContaining('window') }]);
  });
});

describe('out of range now', () => {
  const limit: Limit = { quantity: 'travelSpeed', unit: 'mm/s', basis: 'instant', min: 7, max: 8 };
  const fast = { ...ARC, travelSpeed: 9 };

  test('flagged within 3 s of the crossing, not before the on-delay; ends when it has been back for the off-delay', () => {
    const { effects, deviations } = judged(
      [limit],
      [
        [10, ARC],
        [6, fast],
        [10, ARC],
      ],
    );
    const [began] = eventsOf(effects, 'outOfRangeStart');
    expect(began!.tUs).toBeGreaterThan(12e6);
    expect(began!.tUs).toBeLessThanOrEqual(13e6);
    const [ended] = eventsOf(effects, 'outOfRangeEnd');
    // Back inside about 1 s after the step back (the mean slides), told 5 s later.
    expect(Number(ended!.data['toUs'])).toBeLessThan(17.2e6);
    expect(ended!.tUs).toBeGreaterThan(21e6);
    expect(deviations).toMatchObject([
      { basis: 'instant', quantity: 'travelSpeed', extreme: expect.closeTo(9, 2) },
    ]);
  });

  test('a burst shorter than the on-delay is not announced', () => {
    const { effects, pass } = judged(
      [limit],
      [
        [10, ARC],
        [1.5, fast],
        [10, ARC],
      ],
    );
    expect(eventsOf(effects, 'outOfRangeStart')).toEqual([]);
    expect(pass.verdicts).toMatchObject([{ state: 'in' }]);
  });

  test('the live picture carries it while it lasts', () => {
    const signal = new SignalWriter({ periodS: 0.01 });
    const engine = newEngine();
    engine.assign(assignmentOf({ procedure: procedureWith([limit]) }));
    engine.push(signal.stretch(10, ARC));
    expect(engine.live().outOfRange).toEqual([]);
    engine.push(signal.stretch(5, fast));
    expect(engine.live().outOfRange).toMatchObject([
      { quantity: 'travelSpeed', unit: 'mm/s', min: 7, max: 8 },
    ]);
    engine.push(signal.stretch(2, OFF));
    expect(engine.live().outOfRange).toEqual([]);
  });
});
