/** What a pass is judged by: baselines, zones, settings, reasons; and that its record alone judges it again. */
import { describe, expect, test } from 'vitest';
import { bookEntry, bookKey, type DriftBook } from '#core/drift/baseline-book';
import { DEFAULT_DRIFT_SETTINGS } from '#core/drift/drift-settings';
import type { EngineAssignment } from '#core/pass/engine-api';
import type { EngineOptions } from '#core/pass/pass-engine';
import { DRIFT_LIMITS, DriftRig, driftOf, driftProcedure, driftWeld } from '../../support/drift-weld.ts';
import { assignmentOf, closedPasses, eventsOf, newEngine } from '../../support/engine-run.ts';

const rigOf = (options: EngineOptions = {}, assignment: Partial<EngineAssignment> = {}): DriftRig =>
  new DriftRig(newEngine({ samplePeriodS: 0.02 }, options), assignment);
const stepAt = (fromMm: number, size: number) => (mm: number) => (mm >= fromMm ? size : 0);

describe('without good passes', () => {
  test('the procedure’s nominal and a third of its half-width are the baseline; what has no range is not judged', () => {
    const drift = driftOf(rigOf().weld({ seed: 1 }));
    const [baseline] = drift.baselines;
    expect(baseline).toMatchObject({
      source: 'procedure',
      passes: 0,
      channels: ['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed'],
      covariance: null,
    });
    expect(baseline!.mean[0]).toBe(236);
    expect(baseline!.standardDeviation[0]).toBeCloseTo(20 / 3, 12);
    const why = (quantity: string) => drift.notJudged.find(one => one.quantity === quantity)!.text;
    expect(why('gasFlow')).toMatch(/no range/);
    expect(why('currentSpread')).toMatch(/no range/);
  });

  test('a change of the size of the tolerance is called; a pass that runs off nominal from its start is not', () => {
    const rig = rigOf();
    const step = driftOf(rig.weld({ seed: 2, change: { weldingCurrent: stepAt(200, -19) } }));
    expect(step.calls.map(({ rule, quantity }) => `${rule} ${quantity}`)).toEqual([
      'drifting weldingCurrent',
    ]);
    const away = driftOf(rig.weld({ seed: 3, change: { weldingCurrent: () => -12 } }));
    expect(away.calls).toEqual([]);
    expect(away.teaches.good).toBe(true);
  });

  test('three good passes and sixty windows are enough, two are not', () => {
    const rig = rigOf();
    const sources = [1, 2, 3, 4].map(seed => driftOf(rig.weld({ seed })).baselines[0]!.source);
    expect(sources).toEqual(['procedure', 'procedure', 'procedure', 'rig']);
    const short = rigOf();
    const slower = [1, 2, 3, 4].map(
      seed => driftOf(short.weld({ seed, lengthMm: 400 })).baselines[0]!.source,
    );
    expect(slower[3]).toBe('procedure');
  });
});

describe('nothing is judged, and the record says why', () => {
  test.each([
    ['no procedure', { procedure: null }, /has not arrived/],
    ['a pass the procedure does not have', { pass: 'fill 9' }, /not assigned to a pass/],
    [
      'readings that nobody has verified',
      { driftNotJudged: 'no valid verification' },
      /^no valid verification$/,
    ],
  ] as const)('%s', (_, assignment, text) => {
    const drift = driftOf(
      rigOf({}, assignment).weld({ seed: 1, change: { weldingCurrent: stepAt(200, -19) } }),
    );
    expect(drift.calls).toEqual([]);
    expect(drift.baselines).toEqual([]);
    expect(drift.notJudged).toHaveLength(1);
    expect(drift.notJudged[0]!.text).toMatch(text);
    expect(drift.teaches).toMatchObject({ good: false, why: drift.notJudged[0]!.text });
  });

  test('nothing assigned', () => {
    const engine = newEngine({ samplePeriodS: 0.02 });
    engine.push(driftWeld({ seed: 1 }));
    engine.finish();
    expect(driftOf(engine.drain()).notJudged[0]!.text).toBe('nothing is assigned');
  });

  test('no travel: there is no weld length to judge along', () => {
    const drift = driftOf(rigOf().weld({ seed: 1, without: ['travelSpeed'] }));
    expect(drift.notJudged.some(({ text }) => /no whole window of weld/.test(text))).toBe(true);
    expect(drift.teaches.good).toBe(false);
  });

  test('a channel that the source does not give, and a pass whose end is not known', () => {
    const engine = newEngine({ samplePeriodS: 0.02 }, { procedure: driftProcedure(), passName: 'fill 1' });
    engine.push(driftWeld({ seed: 1, without: ['gasFlow'] }));
    engine.finish();
    const { notJudged, passEndMm } = driftOf(engine.drain());
    expect(notJudged.find(({ quantity }) => quantity === 'gasFlow')!.text).toBe(
      'the source does not give it',
    );
    expect(notJudged.find(({ rule }) => rule === 'projected')!.text).toMatch(/not known where the pass ends/);
    expect(passEndMm).toBeNull();
  });
});

describe('what teaches', () => {
  test.each([
    ['a pass that was out of range', { change: { weldingCurrent: stepAt(250, -40) } }, /out of range/],
    ['a pass with a change', { change: { weldingCurrent: stepAt(300, -14) } }, /a change along the weld/],
    ['a short pass', { lengthMm: 200 }, /fewer than 8 whole windows/],
    ['a pass that was hardly observed', { gaps: [{ atMm: 300, seconds: 8 }] }, /not observed/],
  ] as const)('not %s', (_, weld, why) => {
    const rig = rigOf();
    rig.learn();
    const before = rig.engine.driftBook;
    const { teaches } = driftOf(rig.weld({ seed: 7, ...weld }));
    expect(teaches.good).toBe(false);
    expect(teaches.why).toMatch(why);
    expect(rig.engine.driftBook).toBe(before);
  });

  test('a rig that runs elsewhere from now on is called for it five times, then no more', () => {
    const rig = rigOf();
    rig.learn();
    const called = Array.from({ length: 8 }, (_, i) => {
      const { calls } = driftOf(rig.weld({ seed: 70 + i, change: { arcVoltage: () => 1.2 } }));
      return calls.map(({ quantity }) => quantity).join();
    });
    expect(called).toEqual([...new Array(5).fill('arcVoltage'), '', '', '']);
  });

  test('each procedure revision, pass and side for itself', () => {
    const book: DriftBook = (() => {
      const rig = rigOf();
      rig.learn();
      return rig.engine.driftBook;
    })();
    const sourceWith = (assignment: Partial<EngineAssignment>) =>
      driftOf(rigOf({ driftBook: book }, assignment).weld({ seed: 1 })).baselines[0]!.source;
    expect(sourceWith({})).toBe('rig');
    expect(sourceWith({ side: 'A' })).toBe('procedure');
    expect(sourceWith({ procedure: { ...driftProcedure(), revision: 2 } })).toBe('procedure');
    const key = bookKey({ procedureId: 'test', procedureRevision: 1, pass: 'fill 1', side: 'B' });
    expect(bookEntry(book, key)!.passes).toHaveLength(10);
  });

  test('where nothing says the end of a side, its good passes do', () => {
    const engine = newEngine({ samplePeriodS: 0.02 }, { procedure: driftProcedure(), passName: 'fill 1' });
    let us = 0;
    for (let i = 0; i < 5; i++) {
      const chunk = driftWeld({ seed: i, startUs: us });
      engine.push(chunk);
      engine.closePass();
      us = chunk.tUs[chunk.n - 1]! + 30e6;
    }
    const [first, , , fourth] = closedPasses(engine.drain());
    expect(first!.pass.drift!.passEndMm).toBeNull();
    expect(Math.abs(fourth!.pass.drift!.passEndMm! - 600)).toBeLessThan(5);
  });
});

describe('clock zones', () => {
  // The lower part is welded 8 % slower: 3 to 6 o'clock of side B on 610 mm is 479 to 958 mm.
  const zoned = driftProcedure([
    ...DRIFT_LIMITS.slice(0, 3),
    { quantity: 'travelSpeed', unit: 'mm/s', basis: 'window', min: 6.9, nominal: 7.5, max: 8.1 },
    {
      quantity: 'travelSpeed',
      unit: 'mm/s',
      basis: 'window',
      min: 6.3,
      nominal: 6.9,
      max: 7.5,
      clockZone: { from: 3, to: 6 },
    },
  ]);
  const slower = { travelSpeed: (mm: number) => (mm >= 479 ? -0.6 : 0) };

  test('have each their baseline, and the set that changes between them is no change', () => {
    const rig = rigOf({}, { procedure: zoned });
    rig.learn(100, { lengthMm: 900, change: slower });
    const drift = driftOf(rig.weld({ seed: 1, lengthMm: 900, change: slower }));
    expect(drift.calls).toEqual([]);
    const [below, round] = drift.baselines;
    expect(below!.clockZone).toEqual({ from: 3, to: 6 });
    expect(round!.clockZone).toBeNull();
    const travel = (one: typeof below) => one!.mean[one!.channels.indexOf('travelSpeed')]!;
    expect(Math.abs(travel(below) - 6.9)).toBeLessThan(0.1);
    expect(Math.abs(travel(round) - 7.5)).toBeLessThan(0.1);
    expect([below!.source, round!.source]).toEqual(['rig', 'rig']);
  });

  test('a change within one is called there', () => {
    const rig = rigOf({}, { procedure: zoned });
    rig.learn(100, { lengthMm: 900, change: slower });
    const drift = driftOf(
      rig.weld({ seed: 2, lengthMm: 900, change: { ...slower, weldingCurrent: stepAt(650, -8) } }),
    );
    expect(drift.calls).toHaveLength(1);
    expect(Math.abs(drift.calls[0]!.fromMm! - 650)).toBeLessThan(12);
  });
});

describe('settings', () => {
  test('that arrive in a pass hold from the next one on, delays included', () => {
    const engine = newEngine({ samplePeriodS: 0.02 });
    const next = { ...DEFAULT_DRIFT_SETTINGS, k: 2, onDelayS: 6 };
    engine.assign(assignmentOf({ procedure: driftProcedure() }));
    const out = { change: { weldingCurrent: (mm: number) => (mm >= 200 ? -40 : 0) } };
    const first = driftWeld({ seed: 1, ...out });
    engine.push(first);
    const began = eventsOf(engine.drain(), 'outOfRangeStart')[0]!;
    engine.setDriftSettings(next);
    expect(engine.driftSettings).toEqual(DEFAULT_DRIFT_SETTINGS);
    engine.closePass();
    expect(driftOf(engine.drain()).settings).toEqual(DEFAULT_DRIFT_SETTINGS);
    expect(engine.driftSettings).toEqual(next);
    engine.assign(assignmentOf({ id: 'a2', procedure: driftProcedure() }));
    const startUs = first.tUs[first.n - 1]! + 1e6;
    engine.push(driftWeld({ seed: 1, ...out, startUs }));
    const later = eventsOf(engine.drain(), 'outOfRangeStart')[0]!;
    const delay = (event: typeof began, fromUs: number) => (event.tUs - fromUs) / 1e6;
    // The limits are looked at ten times a second.
    expect(Math.abs(delay(later, startUs) - delay(began, 0) - 4)).toBeLessThan(0.15);
    engine.closePass();
    expect(driftOf(engine.drain()).settings).toEqual(next);
  });

  test('as the engine was given them decide without any message', () => {
    const engine = newEngine({ samplePeriodS: 0.02, onDelayS: 3, offDelayS: 7 });
    expect(engine.driftSettings).toEqual({ ...DEFAULT_DRIFT_SETTINGS, onDelayS: 3, offDelayS: 7 });
  });
});

test('the record of a pass alone judges it again to the same calls', () => {
  const rig = rigOf();
  rig.learn();
  const weld = { seed: 5, change: { weldingCurrent: stepAt(300, -8), travelSpeed: stepAt(200, -0.4) } };
  const first = driftOf(rig.weld(weld));
  expect(first.calls.map(({ rule }) => rule).sort()).toEqual(['drifting', 'trim']);
  const { baselines, passEndMm, settings } = first;
  const kept = JSON.parse(JSON.stringify({ baselines, passEndMm }));
  const again = newEngine({ samplePeriodS: 0.02 }, { driftSettings: settings, recordedBaselines: kept });
  again.assign(assignmentOf({ procedure: driftProcedure() }));
  again.push(driftWeld({ ...weld, startUs: 0 }));
  again.finish();
  const second = driftOf(again.drain());
  expect(second.baselines).toEqual(first.baselines);
  const shape = (drift: typeof first) =>
    drift.calls.map(({ rule, quantity, direction, shape: how, fromMm, calledMm }) => {
      return [rule, quantity, direction, how, fromMm!.toFixed(3), calledMm!.toFixed(3)];
    });
  expect(shape(second)).toEqual(shape(first));
  expect(again.driftBook).toEqual([]);
});
