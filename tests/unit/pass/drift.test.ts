/** Changes along the weld, through the whole engine, on signals whose truth is known. The rules are docs/drift.md. */
import { beforeAll, describe, expect, test } from 'vitest';
import { type DriftBook, EMPTY_BOOK } from '#core/drift/baseline-book';
import { passDriftSchema } from '#core/messages/drift';
import { eventSchema } from '#core/messages/event';
import { DRIFT_LIMITS, DriftRig, driftOf, driftProcedure, windowSd } from '../../support/drift-weld.ts';
import { eventsOf, newEngine } from '../../support/engine-run.ts';

let book: DriftBook = EMPTY_BOOK;
beforeAll(() => {
  const rig = new DriftRig(newEngine({ samplePeriodS: 0.02 }));
  rig.learn();
  book = rig.engine.driftBook;
});

const rigWith = (assignment: ConstructorParameters<typeof DriftRig>[1] = {}) =>
  new DriftRig(newEngine({ samplePeriodS: 0.02 }, { driftBook: book }), assignment);
const stepAt = (fromMm: number, size: number) => (mm: number) => (mm >= fromMm ? size : 0);

describe('good passes', () => {
  test('teach the rig: ten passes are kept, and what they say is what was put in', () => {
    const drift = driftOf(rigWith().weld({ seed: 1 }));
    expect(passDriftSchema.parse(drift)).toEqual(drift);
    expect(drift.calls).toEqual([]);
    expect(drift.teaches).toEqual({ good: true, why: null });
    const [baseline] = drift.baselines;
    expect(baseline).toMatchObject({ source: 'rig', passes: 10, clockZone: null });
    const at = baseline!.channels.indexOf('weldingCurrent');
    expect(Math.abs(baseline!.mean[at]! - 236)).toBeLessThan(2);
    expect(baseline!.windowDeviation[at]! / windowSd('weldingCurrent')).toBeGreaterThan(0.8);
    expect(baseline!.windowDeviation[at]! / windowSd('weldingCurrent')).toBeLessThan(1.2);
    // The first 2 s and the cut window at the end are not used: 600 mm is 24 windows.
    expect(drift.windows[0]!.windows).toBeGreaterThanOrEqual(22);
    expect(drift.windows[0]!.windows).toBeLessThanOrEqual(23);
  });

  test('forty more are not called', () => {
    const rig = rigWith();
    const called = Array.from({ length: 40 }, (_, i) => driftOf(rig.weld({ seed: 1000 + i })).calls.length);
    expect(called.filter(n => n > 0)).toEqual([]);
  });

  test('how a start, a stop and the end of the arc look is no change', () => {
    const drift = driftOf(
      rigWith().weld({
        seed: 3,
        stops: [{ atMm: 200, pauseS: 8 }],
        change: { arcVoltage: mm => (mm < 8 ? 3 : 0) },
      }),
    );
    expect(drift.calls).toEqual([]);
  });
});

describe('a step', () => {
  test('is called within three windows with onset, size, direction and shape, live and on record', () => {
    const rig = rigWith();
    const effects = rig.weld({ seed: 5, change: { weldingCurrent: stepAt(300, -8) } });
    const drift = driftOf(effects);
    const [call] = drift.calls;
    expect(drift.calls).toHaveLength(1);
    expect(call).toMatchObject({
      number: 1,
      rule: 'drifting',
      quantity: 'weldingCurrent',
      unit: 'A',
      direction: 'low',
      shape: 'step',
      toS: null,
    });
    expect(Math.abs(call!.fromMm! - 300)).toBeLessThan(10);
    expect(call!.calledMm! - 300).toBeLessThan(75);
    expect(Math.abs(call!.change! + 8)).toBeLessThan(1.5);
    expect(call!.changeSigma!).toBeLessThan(-4);
    expect(call!.text).toMatch(
      /^Welding current down by \d+ A \(\d+\.\d σ\) since \d+ mm, \d+:\d\d o’clock\.$/,
    );
    // 300 mm on 610 mm from 12 o'clock: 56°, ten to two.
    expect(Math.abs(call!.fromClock! - 56.4 / 30)).toBeLessThan(0.1);
    expect(drift.teaches.good).toBe(false);
    const [start] = eventsOf(effects, 'driftStart');
    expect(start!.data).toMatchObject({
      number: 1,
      rule: 'drifting',
      quantity: 'weldingCurrent',
      direction: 'low',
    });
    expect(start!.passIndex).toBe(1);
    const { type, text, data } = start!;
    const at = '2026-05-12T08:00:00.000Z';
    expect(
      eventSchema.safeParse({ origin: 'real', id: 'x', type, tUs: 1, at, passIndex: 1, text, data }).success,
    ).toBe(true);
  });

  test('that goes back is over where it went back', () => {
    const effects = rigWith().weld({
      seed: 6,
      change: { arcVoltage: mm => (mm >= 250 && mm < 400 ? 0.8 : 0) },
    });
    const [call] = driftOf(effects).calls;
    expect(call).toMatchObject({ quantity: 'arcVoltage', direction: 'high' });
    expect(Math.abs(call!.fromMm! - 250)).toBeLessThan(10);
    expect(Math.abs(call!.toMm! - 400)).toBeLessThan(15);
    expect(eventsOf(effects, 'driftEnd')[0]!.text).toMatch(/^Arc voltage is back since \d+ mm/);
  });

  test('that goes on over a restart is one change; one that a restart cures ends with it', () => {
    const stops = [{ atMm: 400, pauseS: 30 }];
    const on = driftOf(rigWith().weld({ seed: 7, stops, change: { weldingCurrent: stepAt(250, -8) } }));
    expect(on.calls).toHaveLength(1);
    expect(on.calls[0]!.toMm).toBeNull();
    const cured = driftOf(
      rigWith().weld({ seed: 7, stops, change: { weldingCurrent: mm => (mm >= 250 && mm < 400 ? -8 : 0) } }),
    );
    expect(cured.calls).toHaveLength(1);
    expect(Math.abs(cured.calls[0]!.toMm! - 400)).toBeLessThan(25);
  });

  test('is no matter of a gap or a drop-out before it, and what they cut is not used', () => {
    const drift = driftOf(
      rigWith().weld({
        seed: 8,
        gaps: [{ atMm: 210, seconds: 3 }],
        dropOuts: [{ atMm: 330, seconds: 0.2 }],
      }),
    );
    expect(drift.calls).toEqual([]);
    expect(drift.notJudged.some(({ text }) => /mm of weld were not judged/.test(text))).toBe(true);
    const plain = driftOf(rigWith().weld({ seed: 8 }));
    expect(drift.windows[0]!.windows).toBe(plain.windows[0]!.windows - 2);
  });

  test('of the whole pass, there from the start, is told once against the rig’s good passes', () => {
    const drift = driftOf(rigWith().weld({ seed: 9, change: { arcVoltage: () => 1.2 } }));
    expect(drift.calls).toHaveLength(1);
    expect(drift.calls[0]!.text).toMatch(/^Arc voltage \d\.\d\d V above this rig’s good welds/);
    expect(drift.calls[0]!.fromMm!).toBeLessThan(40);
  });
});

describe('a ramp', () => {
  test('is called before it meets a limit, and projected to where it will', () => {
    const rig = rigWith({ outsideDiameterMm: 610 });
    // From 150 mm on 0.05 A/mm: the limit of 216 A is 20 A below nominal, met about 550 mm.
    const effects = rig.weld({
      seed: 10,
      lengthMm: 900,
      samePasses: true,
      change: { weldingCurrent: mm => -0.05 * Math.max(0, mm - 150) },
    });
    const drift = driftOf(effects);
    const drifting = drift.calls.find(({ rule }) => rule === 'drifting')!;
    expect(drifting).toMatchObject({ quantity: 'weldingCurrent', direction: 'low', shape: 'ramp' });
    expect(drifting.calledMm!).toBeLessThan(400);
    const projected = drift.calls.find(({ rule }) => rule === 'projected')!;
    expect(projected.crossing).toMatchObject({ limit: 'min', value: 216 });
    expect(projected.calledMm!).toBeLessThan(450);
    expect(Math.abs(projected.crossing!.atMm! - 550)).toBeLessThan(40);
    expect(eventsOf(effects, 'driftStart')[1]!.text).toMatch(/on its way to the lower limit of 216 A/);
    // Half of 610 mm: the side ends at 6 o'clock.
    expect(drift.passEndMm).toBeCloseTo((Math.PI * 610) / 2, 6);
  });

  test('that would meet a limit only after the pass has ended is not projected', () => {
    const drift = driftOf(
      rigWith({ outsideDiameterMm: 305 }).weld({
        seed: 11,
        lengthMm: 470,
        samePasses: true,
        change: { weldingCurrent: mm => -0.03 * Math.max(0, mm - 150) },
      }),
    );
    expect(drift.calls.map(({ rule }) => rule)).toContain('drifting');
    expect(drift.calls.map(({ rule }) => rule)).not.toContain('projected');
  });
});

describe('a trim', () => {
  test('of travel on a fill is told with what it does to the deposit, and is no change', () => {
    const effects = rigWith().weld({ seed: 12, change: { travelSpeed: stepAt(250, -0.4) } });
    const drift = driftOf(effects);
    expect(drift.calls.map(({ rule }) => rule)).toEqual(['trim']);
    const [trim] = drift.calls;
    // 7.5 to 7.1 mm/s at the same feed: 7.5/7.1 − 1 = 5.6 % more metal.
    expect(Math.abs(trim!.depositChangePercent! - 5.6)).toBeLessThan(1);
    expect(Math.abs(trim!.fromMm! - 250)).toBeLessThan(10);
    expect(drift.teaches.good).toBe(true);
    expect(eventsOf(effects, 'trim')[0]!.text).toMatch(
      /^Travel speed trimmed from 7\.\d\d mm\/s to 7\.\d\d mm\/s at /,
    );
    expect(eventsOf(effects, 'driftStart')).toEqual([]);
    // It teaches with what it would have been.
    const at = drift.windows[0]!.channels.indexOf('travelSpeed');
    expect(Math.abs(drift.windows[0]!.mean[at]! - 7.5)).toBeLessThan(0.1);
  });

  test('is followed at its new level: a change after it is seen from there', () => {
    const drift = driftOf(
      rigWith().weld({
        seed: 13,
        lengthMm: 800,
        change: { travelSpeed: mm => (mm >= 600 ? 0.35 : mm >= 200 ? -0.35 : 0) },
      }),
    );
    expect(drift.calls.map(({ rule }) => rule)).toEqual(['trim', 'trim']);
    expect(Math.abs(drift.calls[0]!.toMm! - drift.calls[1]!.fromMm!)).toBeLessThan(1e-9);
    expect(Math.abs(drift.calls[1]!.change! - 0.7)).toBeLessThan(0.1);
  });

  test('beyond a limit, on a root, of another channel, or growing, is a change', () => {
    const rules = (rig: DriftRig, weld: Parameters<DriftRig['weld']>[0]) =>
      driftOf(rig.weld(weld)).calls.map(({ rule }) => rule);
    expect(rules(rigWith(), { seed: 14, change: { travelSpeed: stepAt(250, -0.9) } })).toContain('drifting');
    const root = new DriftRig(newEngine({ samplePeriodS: 0.02 }), {
      procedure: driftProcedure(DRIFT_LIMITS, 'root'),
    });
    root.learn(300);
    expect(rules(root, { seed: 15, change: { travelSpeed: stepAt(250, -0.4) } })).toEqual(['drifting']);
    expect(rules(rigWith(), { seed: 16, change: { wireFeedSpeed: stepAt(250, -6) } })).toEqual(['drifting']);
    const ramp = (mm: number): number => -0.0016 * Math.max(0, mm - 150);
    expect(rules(rigWith(), { seed: 17, change: { travelSpeed: ramp } })).toContain('drifting');
  });

  test('of the oscillation is told inside its range only', () => {
    const procedure = driftProcedure([
      ...DRIFT_LIMITS,
      { quantity: 'oscillationWidth', unit: 'mm', basis: 'window', min: 2, nominal: 4, max: 6 },
    ]);
    const weld = (after: number) =>
      driftOf(
        rigWith({ procedure }).weld({
          seed: 18,
          oscillation: mm => ({ widthMm: mm >= 300 ? after : 4, hertz: 2.5 }),
        }),
      ).calls.filter(({ quantity }) => quantity === 'oscillationWidth');
    const [trim] = weld(5);
    expect(trim).toMatchObject({ rule: 'trim', unit: 'mm', direction: 'high' });
    expect(trim!.baseline).toBeCloseTo(4, 9);
    expect(trim!.change).toBeCloseTo(1, 9);
    expect(Math.abs(trim!.fromMm! - 300)).toBeLessThan(26);
    expect(weld(7)).toEqual([]);
  });
});

describe('a pattern', () => {
  test('of channels that move against each other is called with its contributions', () => {
    // Two channels that go together on good welds: voltage follows current.
    const together = (seed: number) => {
      const wave = (mm: number): number => Math.sin(2.3 * Math.floor(mm / 25) + 11 * seed);
      return {
        weldingCurrent: (mm: number) => 3 * wave(mm),
        arcVoltage: (mm: number) => 0.3 * wave(mm),
      };
    };
    const rig = new DriftRig(newEngine({ samplePeriodS: 0.02 }));
    for (let i = 0; i < 10; i++) rig.weld({ seed: 600 + i, change: together(i), samePasses: true });
    expect(rig.engine.driftBook[0]!.passes.length).toBeGreaterThan(7);
    const against = together(3);
    const drift = driftOf(
      rig.weld({
        seed: 650,
        samePasses: true,
        change: {
          weldingCurrent: mm => against.weldingCurrent(mm) + (mm >= 300 ? 5 : 0),
          arcVoltage: mm => against.arcVoltage(mm) - (mm >= 300 ? 0.5 : 0),
        },
      }),
    );
    const called = drift.calls.filter(({ rule }) => rule === 'pattern' || rule === 'drifting');
    expect(called.length).toBeGreaterThan(0);
    const names = called[0]!.contributions.map(({ quantity }) => quantity);
    expect(names.slice(0, 2).sort()).toEqual(['arcVoltage', 'weldingCurrent']);
  });

  test('is not judged without a learned baseline, and a trim is none', () => {
    const fresh = new DriftRig(newEngine({ samplePeriodS: 0.02 }));
    const first = driftOf(fresh.weld({ seed: 20 }));
    expect(first.notJudged.find(({ rule }) => rule === 'pattern')!.text).toMatch(/too few good passes/);
    const trimmed = driftOf(rigWith().weld({ seed: 21, change: { travelSpeed: stepAt(250, 0.45) } }));
    expect(trimmed.calls.map(({ rule }) => rule)).toEqual(['trim']);
  });
});

test('a restless arc is called by its spread', () => {
  const drift = driftOf(rigWith().weld({ seed: 22, restless: mm => (mm >= 300 ? 2 : 1) }));
  const names = drift.calls.map(({ quantity }) => quantity).sort();
  expect(names).toEqual(['currentSpread', 'voltageSpread']);
  expect(Math.abs(drift.calls[0]!.fromMm! - 300)).toBeLessThan(15);
});
