import { describe, expect, it } from 'vitest';
import type { Samples } from '#core/messages/api';
import { LiveTrail } from '../../../dashboard/web/data/live-trail.ts';
import { storedScale, TrendHistory, trendStats } from '../../../dashboard/web/data/trend-history.ts';
import { liveAt } from '../../support/dashboard-fixtures.ts';

const S = 1e6;
const answer = (
  fromS: number,
  toS: number,
  values: readonly (readonly [number, number, number])[],
): Samples => ({
  site: 's',
  rig: 'r',
  fromUs: fromS * S,
  toUs: toS * S,
  utcMinusRecordMs: 0,
  series: [
    {
      channel: 'weldingCurrent',
      unit: 'A',
      tUs: values.map(([t]) => t * S),
      min: values.map(([, min]) => min),
      max: values.map(([, , max]) => max),
    },
  ],
  gaps: [
    { fromUs: 2 * S, toUs: 4 * S },
    { fromUs: (toS - 1) * S, toUs: toS * S },
  ],
});

const all = { fromUs: 0, toUs: 1e12 };

describe('history and live as one line', () => {
  it('keeps both extremes of every bucket', () => {
    const history = new TrendHistory();
    history.merge(
      answer(0, 3, [
        [0, 200, 210],
        [1, 190, 999],
      ]),
    );
    expect(history.points('current', all, []).map(({ y }) => y)).toEqual([200, 210, 190, 999]);
  });

  it('breaks the line over what was not recorded, and does not take the newest second for a gap', () => {
    const history = new TrendHistory();
    history.merge(
      answer(0, 10, [
        [1, 5, 5],
        [4, 6, 6],
      ]),
    );
    expect(history.points('current', all, []).map(({ y }) => y)).toEqual([5, NaN, 6]);
    expect(history.gaps).toEqual([{ fromUs: 2 * S, toUs: 4 * S }]);
  });

  it('adds what this page saw after the store’s last, once', () => {
    const history = new TrendHistory();
    const trail = new LiveTrail();
    for (let i = 0; i < 30; i++) trail.add(liveAt({ rig: 'r', place: 0 }, i / 10));
    const start = 1000;
    history.merge(
      answer(start, start + 2, [
        [start, 1, 1],
        [start + 1, 2, 2],
      ]),
    );
    const points = history.points('current', all, trail.points);
    expect(points.filter(({ x }) => x <= (start + 1) * S)).toHaveLength(2);
    const xs = points.map(({ x }) => x);
    expect([...new Set(xs)].sort((a, b) => a - b)).toEqual(xs);
  });

  it('lets a later answer replace an earlier one from its start on', () => {
    const history = new TrendHistory();
    history.merge(
      answer(0, 3, [
        [0, 1, 1],
        [1, 1, 1],
        [2, 1, 1],
      ]),
    );
    history.merge(
      answer(1, 5, [
        [1, 7, 7],
        [2, 8, 8],
        [3, 9, 9],
      ]),
    );
    expect(history.points('current', all, []).map(({ y }) => y)).toEqual([1, 7, 8, 9]);
  });

  it('starts anew when record time belongs to another stream', () => {
    const trail = new LiveTrail();
    trail.add(liveAt({ rig: 'r', place: 0 }, 50));
    trail.add(liveAt({ rig: 'r', place: 0 }, 1));
    expect(trail.points).toHaveLength(1);
  });

  it('sums up what is drawn', () => {
    const points = [
      { x: 0, y: 3 },
      { x: 1, y: NaN },
      { x: 2, y: -1 },
    ];
    expect(trendStats(points, null)).toEqual({ now: null, min: -1, max: 3 });
    expect(trendStats([], null)).toEqual({ now: null, min: null, max: null });
  });
});

// A band 20 mm off a 610 mm pipe reads 6.6 % too much travel: (305 + 20) / 305, geometry.
describe('travel, stored where the carriage runs and shown where the weld is', () => {
  it('is turned into travel at the pipe like the live values; nothing else is', () => {
    const scale = storedScale('travel', 325, 610);
    expect(1 / scale).toBeCloseTo(1.0656, 4);
    expect(storedScale('current', 325, 610)).toBe(1);
    expect(storedScale('travel', null, 610)).toBe(1);
    expect(storedScale('travel', 325, null)).toBe(1);
    const history = new TrendHistory();
    const [series] = answer(0, 3, [[1, 7.9, 8.1]]).series;
    history.merge({ ...answer(0, 3, []), series: [{ ...series!, channel: 'travelSpeed', unit: 'mm/s' }] });
    const drawn = history.points('travel', all, [], scale).map(({ y }) => y);
    expect(drawn).toEqual([expect.closeTo(7.414, 3), expect.closeTo(7.602, 3)]);
  });
});
