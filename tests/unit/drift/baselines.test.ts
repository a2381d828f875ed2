import { linearRegression, sampleCovariance, sampleVariance } from 'simple-statistics';
import { describe, expect, test } from 'vitest';
import { BOOK_PASSES, bookEntry, type DriftBook, EMPTY_BOOK, learnPass } from '#core/drift/baseline-book';
import { baselinesFor } from '#core/drift/baselines-for';
import { driftZones, limitFor, zoneAt } from '#core/drift/drift-zones';
import { learnedBaseline } from '#core/drift/learned-baseline';
import { procedureBaseline } from '#core/drift/procedure-baseline';
import { projectedCrossing } from '#core/drift/projection';
import { type WindowRow, windowStatistics } from '#core/drift/window-rows';
import { DRIFT_CHANNELS, type WindowStatistics } from '#core/messages/drift';
import type { ResolvedLimit } from '#core/procedure/limits';
import { lagOneAutocorrelation } from '#core/statistics/autocorrelation';
import { normals } from '../../support/normals.ts';

const CURRENT = DRIFT_CHANNELS.indexOf('weldingCurrent');
const VOLTAGE = DRIFT_CHANNELS.indexOf('arcVoltage');

function rowsOf(current: readonly number[], voltage: readonly number[]): WindowRow[] {
  return current.map((value, i) => {
    const values = new Float64Array(DRIFT_CHANNELS.length).fill(Number.NaN);
    values[CURRENT] = value;
    values[VOLTAGE] = voltage[i]!;
    return { zone: 0, fromMm: 25 * i, toMm: 25 * (i + 1), fromUs: i, toUs: i + 1, values, follows: i > 0 };
  });
}

/** A first-order autoregression with standard deviation 1 and correlation `r`, about `level`. */
function series(seed: number, n: number, r: number, level: number, scale = 1): number[] {
  const next = normals(seed);
  let x = next();
  return Array.from({ length: n }, () => {
    x = r * x + Math.sqrt(1 - r * r) * next();
    return level + scale * x;
  });
}

describe('sums of windows', () => {
  const current = series(1, 40, 0.4, 236, 3);
  const voltage = current.map((value, i) => 24 + 0.05 * (value - 236) + 0.1 * Math.sin(i));
  const [sums] = windowStatistics(rowsOf(current, voltage), [null], []);

  test('agree with a statistics library: covariance, variance, neighbours', () => {
    const { windows, channels, coMoment, pairs, lagCoMoment } = sums!;
    expect([windows, pairs]).toEqual([40, 39]);
    expect(channels).toEqual(['weldingCurrent', 'arcVoltage']);
    expect(coMoment[0]! / 39).toBeCloseTo(sampleVariance(current), 9);
    expect(coMoment[1]! / 39).toBeCloseTo(sampleCovariance(current, voltage), 9);
    expect(lagCoMoment[0]! / coMoment[0]!).toBeCloseTo(lagOneAutocorrelation(current)!, 9);
  });

  test('a level that was meant to change counts with what it would have been, the window of the change not at all', () => {
    const trimmed = current.map((value, i) => (i < 20 ? value : value + 50));
    const [plain] = windowStatistics(
      rowsOf(trimmed, voltage),
      [null],
      [{ channel: CURRENT, fromMm: 500, change: 50 }],
    );
    expect(plain!.mean[0]).toBeCloseTo(sums!.mean[0]!, 9);
    expect(plain!.windows).toBe(40);
    const [cut] = windowStatistics(
      rowsOf(trimmed, voltage),
      [null],
      [{ channel: CURRENT, fromMm: 510, change: 50 }],
    );
    expect(cut!.windows).toBe(39);
  });
});

describe('a learned baseline', () => {
  const pass = (seed: number, level: number, r = 0.4): WindowStatistics => {
    const current = series(seed, 40, r, level, 3);
    return windowStatistics(rowsOf(current, series(seed + 1000, 40, 0, 24, 0.1)), [null], [])[0]!;
  };

  test('finds what was put in: windows, levels of passes, correlation', () => {
    const levels = series(5, 60, 0, 236, 2);
    const baseline = learnedBaseline(
      levels.map((level, i) => pass(50 + i, level)),
      () => 1e-9,
    )!;
    expect(baseline).toMatchObject({ source: 'rig', passes: 60, windows: 2400 });
    expect(Math.abs(baseline.mean[0]! - 236)).toBeLessThan(1);
    expect(Math.abs(baseline.windowDeviation[0]! - 3)).toBeLessThan(0.25);
    expect(Math.abs(baseline.passDeviation[0]! - 2)).toBeLessThan(0.5);
    expect(Math.abs(baseline.correlation[0]! - 0.4)).toBeLessThan(0.06);
    // (1 + 2r)·W + B/2, as docs/drift.md says.
    const expected = Math.sqrt((1 + 2 * baseline.correlation[0]!) * 9 + 4 / 2);
    expect(Math.abs(baseline.standardDeviation[0]! - expected)).toBeLessThan(0.5);
    // Passes that do not differ: chance alone is taken off their means.
    expect(baseline.passDeviation[1]!).toBeLessThan(0.02);
  });

  test('is none with two passes or fewer than sixty windows', () => {
    const passes = [1, 2, 3].map(i => pass(i, 236));
    expect(learnedBaseline(passes.slice(0, 2), () => 1e-9)).toBeNull();
    expect(
      learnedBaseline(
        passes.map(one => ({ ...one, windows: 19 })),
        () => 1e-9,
      ),
    ).toBeNull();
    expect(learnedBaseline(passes, () => 1e-9)).not.toBeNull();
  });

  test('is of the channels that all passes knew, and no steadier than the floor', () => {
    const passes = [1, 2, 3].map(i => pass(i, 236));
    const steady = passes.map(one => ({ ...one, coMoment: one.coMoment.map(() => 0), mean: [236, 24] }));
    const baseline = learnedBaseline(steady, (_, mean) => mean / 100)!;
    expect(baseline.standardDeviation).toEqual([2.36, 0.24]);
    expect(baseline.covariance).toEqual([2.36 ** 2, 0, 0, 0.24 ** 2]);
  });
});

describe('the book', () => {
  const lesson = (n: number) => ({
    teaches: { good: true, why: null },
    windows: [
      { clockZone: null, windows: n, channels: [], mean: [], coMoment: [], pairs: 0, lagCoMoment: [] },
    ],
  });

  test('keeps the last ten passes of a kind, and nothing of one that does not teach', () => {
    let book: DriftBook = EMPTY_BOOK;
    for (let n = 1; n <= 13; n++) book = learnPass(book, 'a', lesson(n), 600);
    const kept = bookEntry(book, 'a')!.passes.map(({ windows }) => windows[0]!.windows);
    expect(kept).toHaveLength(BOOK_PASSES);
    expect(kept).toEqual([4, 5, 6, 7, 8, 9, 10, 11, 12, 13]);
    const bad = { ...lesson(14), teaches: { good: false, why: 'it was out of range' } };
    expect(learnPass(book, 'a', bad, 600)).toBe(book);
  });

  test('five passes in a row that all run unlike the good ones take their place; a good one between starts anew', () => {
    const unlike = (n: number) => ({ ...lesson(n), teaches: { good: false, why: 'unlike', unlike: true } });
    let book: DriftBook = EMPTY_BOOK;
    for (let n = 1; n <= 8; n++) book = learnPass(book, 'a', lesson(n), 600);
    for (let n = 21; n <= 24; n++) book = learnPass(book, 'a', unlike(n), 600);
    book = learnPass(book, 'a', lesson(9), 600);
    for (let n = 31; n <= 34; n++) book = learnPass(book, 'a', unlike(n), 600);
    const kept = () => bookEntry(book, 'a')!.passes.map(({ windows }) => windows[0]!.windows);
    expect(kept()).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9]);
    book = learnPass(book, 'a', unlike(35), 600);
    expect(kept()).toEqual([31, 32, 33, 34, 35]);
    expect(bookEntry(book, 'a')!.unlike).toEqual([]);
  });

  test('lets the kind that was welded longest ago go first', () => {
    let book: DriftBook = EMPTY_BOOK;
    for (let n = 0; n < 121; n++) book = learnPass(book, `kind ${n}`, lesson(1), 600);
    expect(bookEntry(book, 'kind 0')).toBeNull();
    book = learnPass(book, 'kind 1', lesson(1), 600);
    book = learnPass(book, 'another', lesson(1), 600);
    expect(bookEntry(book, 'kind 1')).not.toBeNull();
    expect(bookEntry(book, 'kind 2')).toBeNull();
  });
});

const limit = (more: Partial<ResolvedLimit>): ResolvedLimit => ({
  quantity: 'travelSpeed',
  unit: 'mm/s',
  basis: 'window',
  min: 6.9,
  nominal: 7.5,
  max: 8.1,
  clockZone: null,
  authority: null,
  ...more,
});

describe('the procedure as a baseline', () => {
  test('nominal, else the middle; a third of the half-width; one-sided from nominal to the limit', () => {
    const of = (more: Partial<ResolvedLimit>) => procedureBaseline([limit(more)], null);
    expect(of({})).toMatchObject({ channels: ['travelSpeed'], mean: [7.5] });
    expect(of({}).standardDeviation[0]).toBeCloseTo(0.2, 12);
    expect(of({ nominal: null }).mean[0]).toBeCloseTo(7.5, 12);
    expect(of({ min: null, max: 9 }).standardDeviation[0]).toBeCloseTo(0.5, 12);
    expect(of({ min: null, nominal: null }).channels).toEqual([]);
    expect(of({ min: 7.5, max: 7.5 }).channels).toEqual([]);
    expect(baselinesFor(null, []).map(({ channels }) => channels)).toEqual([[]]);
  });

  test('the limit of a zone comes before one all round, a window before a pass average', () => {
    const zone = { from: 3, to: 6 };
    const limits = [
      limit({ basis: 'pass', max: 8.4 }),
      limit({ max: 8.2 }),
      limit({ clockZone: zone, basis: 'pass', max: 8.6 }),
    ];
    expect(limitFor(limits, 'travelSpeed', zone)!.max).toBe(8.6);
    expect(limitFor(limits, 'travelSpeed', null)!.max).toBe(8.2);
    expect(limitFor(limits, 'arcVoltage', null)).toBeNull();
  });
});

test('near the end of a zone it is not said which holds', () => {
  const zones = driftZones([limit({}), limit({ clockZone: { from: 3, to: 6 } })]);
  expect(zones).toEqual([{ from: 3, to: 6 }, null]);
  // 100 mm an hour: 3 o'clock is at 300 mm.
  const at = (mm: number, uncertainty = 10) => zoneAt(zones, along => along / 100, mm, uncertainty);
  expect([at(260), at(290), at(310), at(330), at(400)]).toEqual([1, 'between', 'between', 0, 0]);
  expect(at(345, 50)).toBe('between');
  expect(zoneAt([null], () => null, 300, 10)).toBe(0);
});

describe('a projected crossing', () => {
  const points = (values: readonly number[]) => values.map((value, i) => ({ mm: 25 * i, value }));
  const limits = { min: 200, max: 260 };

  test('lies where an ordinary regression of the same points meets the limit', () => {
    const line = points([240, 238.1, 236.2, 233.9, 232, 230.1, 227.8]);
    const { m, b } = linearRegression(line.map(({ mm, value }) => [mm, value]));
    const crossing = projectedCrossing(line, limits, 160, 900, 0.1)!;
    expect(crossing).toMatchObject({ limit: 'min', value: 200 });
    expect(Math.abs(crossing.atMm - (200 - b) / m)).toBeLessThan(6);
  });

  test('is none without enough windows, a clear direction, a slope out of the scatter, or weld left', () => {
    const falling = [240, 238, 236, 234, 232, 230];
    expect(projectedCrossing(points(falling), limits, 150, 900, 0)).not.toBeNull();
    expect(projectedCrossing(points(falling.slice(0, 4)), limits, 100, 900, 0)).toBeNull();
    expect(projectedCrossing(points([240, 230, 241, 229, 240, 228]), limits, 150, 900, 0)).toBeNull();
    expect(projectedCrossing(points(falling), limits, 150, 900, 5)).toBeNull();
    expect(projectedCrossing(points(falling), limits, 150, 400, 0)).toBeNull();
    expect(projectedCrossing(points(falling), { min: null, max: 260 }, 150, 900, 0)).toBeNull();
    // Beyond the limit already: that is out of range, and nothing ahead.
    expect(projectedCrossing(points(falling), { min: 235, max: 260 }, 150, 900, 0)).toBeNull();
  });
});
