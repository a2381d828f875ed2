/** What the review page computes by itself: strip, rows, address, extremes, lines beside each other. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { labelLines } from '../../../dashboard/web/charts/label-lines.ts';
import { placeMap } from '../../../dashboard/web/charts/place-map.ts';
import { piecesOf, unroll } from '../../../dashboard/web/charts/unrolled-geometry.ts';
import { besideRows, besideSeries } from '../../../dashboard/web/views/review/beside-series.ts';
import { extremesBetween, extremesRows } from '../../../dashboard/web/views/review/channel-extremes.ts';
import { spansOf, stretchAxis } from '../../../dashboard/web/views/review/channel-frame.ts';
import {
  parseReviewRoute,
  type ReviewRoute,
  reviewUrl,
  wholeReview,
} from '../../../dashboard/web/views/review/review-route.ts';
import { WINDOW_NAMES } from '../../../dashboard/web/views/review/window-names.ts';
import { sectorRows, windowRow } from '../../../dashboard/web/views/review/window-rows.ts';
import { reviewPass, testReview } from '../../support/test-review.ts';

/** π·610: all the way round, mm. */
const ROUND = Math.PI * 610;

describe('labels under the joint', () => {
  it('no two on one line touch, no lead passes through words, and those with room of their own stay on the first', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc
            .record({ at: fc.integer({ min: 0, max: 1000 }), width: fc.integer({ min: 1, max: 90 }) })
            .map(({ at, width }) => ({ at, from: at + 5, width })),
        ),
        labels => {
          const lines = labelLines(labels);
          const meet = (i: number, j: number): boolean =>
            labels[i]!.from < labels[j]!.from + labels[j]!.width &&
            labels[j]!.from < labels[i]!.from + labels[i]!.width;
          for (let i = 0; i < labels.length; i++) {
            const near = labels.flatMap((_, j) => (j !== i && meet(i, j) ? [lines[j]] : []));
            expect(near).not.toContain(lines[i]);
            const { at, from, width } = labels[i]!;
            const through = labels.some(
              (other, j) => j !== i && lines[j]! > lines[i]! && other.at > from && other.at < from + width,
            );
            expect(through).toBe(false);
            const alone = labels.every(
              (other, j) => j === i || other.at > from + width || other.from + other.width < at,
            );
            if (alone) expect(lines[i]).toBe(0);
          }
        },
      ),
    );
  });
});

describe('the joint unrolled', () => {
  it('cuts a stretch where it passes 12 o’clock', () => {
    expect(piecesOf(90, 90)).toEqual([{ from: 0.25, to: 0.5 }]);
    const [before, after] = piecesOf(350, 20);
    expect(before).toEqual({ from: 350 / 360, to: 1 });
    expect(after?.from).toBe(0);
    expect(after?.to).toBeCloseTo(10 / 360, 12);
  });

  it('lays side B from the left with the clock and side A from the right against it, outermost layer on top', () => {
    const { layers, passes } = unroll(testReview());
    expect(layers.map(({ pass }) => pass)).toEqual(['cap', 'fill 1', 'root']);
    const [rootB, fillB, rootA] = passes;
    expect([rootB?.row, fillB?.row, rootA?.row]).toEqual([2, 1, 2]);
    // 950 mm of 1916: almost half the way round from 12, on either side of it.
    expect(rootB?.pieces[0]?.from).toBe(0);
    expect(rootB?.pieces[0]?.to).toBeCloseTo(950 / ROUND, 9);
    expect(rootA?.pieces[0]?.from).toBeCloseTo(1 - 950 / ROUND, 9);
    expect(rootA?.pieces[0]?.to).toBeCloseTo(1, 9);
  });

  it('marks an indication on the layers at its depth, with the uncertainty of its place around it', () => {
    const [call] = unroll(testReview()).indications;
    expect(call?.rows).toEqual([1]);
    const [inside] = call!.pieces;
    const [around] = call!.around;
    expect((inside!.from - around!.from) * ROUND).toBeCloseTo(20, 6);
    expect((around!.to - inside!.to) * ROUND).toBeCloseTo(20, 6);
  });

  it('gives a repair a row of its own above the layers', () => {
    const { layers, passes } = unroll(
      testReview({
        passes: [reviewPass(1, 'root', 'B'), reviewPass(4, 'root', 'B', { repairOf: 'd-1' })],
      }),
    );
    expect(layers[0]).toEqual({ pass: 'root', isRepair: true });
    expect(passes.map(({ row }) => row)).toEqual([3, 0]);
  });

  it('says of which passes no place is known', () => {
    const { unplaced, passes } = unroll(testReview({ outsideDiameterMm: null }));
    expect(passes).toEqual([]);
    expect(unplaced).toHaveLength(3);
  });

  it('hatches gaps where they lie', () => {
    const plain = reviewPass(1, 'root', 'B');
    // 3.3 s for 25 mm: from 33 to 36.3 s is the eleventh window, 250 to 275 mm.
    const gapped = { ...plain, quality: { ...plain.quality, gaps: [{ fromS: 33, toS: 36.3 }] } };
    const [one] = unroll(testReview({ passes: [gapped] })).passes;
    expect(one!.gaps[0]!.from * ROUND).toBeCloseTo(250, 6);
    expect(one!.gaps[0]!.to * ROUND).toBeCloseTo(275, 6);
  });
});

describe('rows of a pass', () => {
  it('are one for each window, or one for each hour of the clock with means by length', () => {
    const { windows } = reviewPass(1, 'fill 1', 'B');
    expect(windows.map(windowRow)).toHaveLength(38);
    const sectors = sectorRows(windows);
    // 950 mm of 1916 is just short of 6 o'clock.
    expect(sectors).toHaveLength(6);
    expect(sectors[0]?.fromMm).toBe(0);
    expect(sectors.at(-1)?.toMm).toBe(950);
    const first = windows.filter(({ fromClock, toClock }) => (fromClock! + toClock!) / 2 < 1);
    const mean = first.reduce((sum, one) => sum + one.values.weldingCurrent!, 0) / first.length;
    expect(sectors[0]?.values.weldingCurrent).toBeCloseTo(mean, 9);
    expect(sectors[0]?.out).toEqual(['weldingCurrent']);
    // A channel that was never measured stays unknown.
    expect(sectors[0]?.values.gasFlow).toBeNull();
  });
});

describe('samples in numbers', () => {
  it('name the least and the greatest, unknown ones left out', () => {
    const series = {
      ...{ channel: 'weldingCurrent', unit: 'A' },
      ...{ tUs: [0, 1e6, 2e6, 3e6], min: [230, 231, null, 1], max: [240, 290, null, 2] },
    } as const;
    const read = { ...series, tUs: [...series.tUs], min: [...series.min], max: [...series.max] };
    expect(extremesBetween(read as never, 0, 2e6)).toEqual({ low: 230, high: 290 });
    expect(extremesBetween(read as never, 1.5e6, 2.5e6)).toBeNull();
  });

  it('are rows of the windows that lie in what was read', () => {
    const pass = reviewPass(1, 'fill 1', 'B');
    const { startUs } = pass.message;
    const samples = {
      ...{ site: 's', rig: 'r', stream: 'x', utcMinusRecordMs: 0, gaps: [] },
      ...{ fromUs: startUs + 3.3e6, toUs: startUs + 6.6e6 },
      series: [{ channel: 'weldingCurrent', unit: 'A', tUs: [startUs + 4e6], min: [200], max: [290] }],
    };
    const rows = extremesRows(samples as never, pass.windows, startUs);
    expect(rows.map(({ window, values }) => [window.fromMm, values['weldingCurrent']])).toEqual([
      [25, { low: 200, high: 290 }],
    ]);
  });
});

describe('spans of a chart', () => {
  it('put an indication where it lies on either side, widened by its uncertainty', () => {
    const review = testReview();
    const [, fill] = review.passes;
    const axis = stretchAxis(fill!, placeMap(fill!), { fromMm: 0, toMm: 950 }, 'mm');
    const call = spansOf(review, fill!, 'weldingCurrent', axis).find(({ kind }) => kind === 'call');
    // 26.3° and 2.8° of 610 mm: 140 to 154.9 mm, and 20 mm on either side.
    expect(call?.fromUs).toBeCloseTo((26.3 / 360) * ROUND - 20, 6);
    expect(call?.toUs).toBeCloseTo((29.1 / 360) * ROUND + 20, 6);
    const out = spansOf(review, fill!, 'arcVoltage', axis).filter(({ kind }) => kind === 'out');
    expect(out).toEqual([]);
  });
});

describe('joints beside each other', () => {
  it('compares the same pass of the same side, at the same places', () => {
    const review = testReview();
    const [, fill] = review.passes;
    const other = testReview({
      joint: 'J-0043',
      passes: [reviewPass(7, 'fill 1', 'B'), reviewPass(8, 'fill 1', 'A')],
    });
    const series = besideSeries(review, fill!, [other], 'weldingCurrent');
    expect(series.map(({ name, steps }) => [name, steps.length])).toEqual([
      ['J-0042', 38],
      ['J-0043', 38],
    ]);
    expect(besideRows(series)[5]).toEqual({ from: 125, to: 150, values: [272, 272] });
    expect(besideRows([series[0]!, { name: 'J-9', steps: [] }])[0]?.values[1]).toBeNull();
  });
});

describe('the address of a review', () => {
  const parse = (hash: string): ReviewRoute | null => {
    const [path = '', query = ''] = hash.replace('#/', '').split('?');
    return parseReviewRoute(path.split('/').map(decodeURIComponent), new URLSearchParams(query));
  };

  it('comes back as it went, whatever is looked at', () => {
    const words = fc.string({ minLength: 1, maxLength: 30 });
    const mm = fc.option(fc.integer({ min: -500, max: 9000 }));
    fc.assert(
      fc.property(
        fc.record({
          view: fc.constant('jointReview' as const),
          joint: words,
          pass: fc.option(words),
          ...{ fromMm: mm, toMm: mm, cursorMm: mm },
          axis: fc.constantFrom('mm' as const, 's' as const),
          rows: fc.constantFrom('windows' as const, 'sectors' as const),
          quantity: fc.constantFrom(...WINDOW_NAMES),
          beside: fc.uniqueArray(words, { minLength: 1, maxLength: 3 }),
        }),
        route => {
          expect(parse(reviewUrl(route))).toEqual(route);
        },
      ),
    );
  });

  it('reads nonsense as nothing asked for, and no more than three joints beside', () => {
    expect(parse('#/joints/J-1/review?from=here&axis=x&rows=y&of=z')).toEqual(wholeReview('J-1'));
    expect(parse('#/joints/J-1/review?beside=a&beside=b&beside=a&beside=c&beside=d')?.beside).toEqual([
      'a',
      'b',
      'c',
    ]);
    expect(parse('#/joints/J-1')).toBeNull();
  });
});
