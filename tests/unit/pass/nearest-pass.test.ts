/**
 * The decision by itself. The numbers of the rule are our own choice (docs/engine.md "Wrong pass"), no source;
 * passes are the example procedure's or invented, to show one rule each.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { nearestPass, type RunningSet } from '#core/pass/nearest-pass';
import type { Limit, Procedure, ProcedurePass } from '#core/procedure/procedure';
import { exampleProcedure } from '../../support/simulated-pass.ts';

const EXAMPLE = exampleProcedure(process.cwd());
const everywhere = (): boolean => true;
const M_MIN = 1000 / 60;

const limit = (quantity: Limit['quantity'], rest: Partial<Limit>): Limit => ({
  quantity,
  unit: 'mm/s',
  basis: 'window',
  ...rest,
});
const pass = (
  name: string,
  feed: Partial<Limit>,
  travel: Partial<Limit>,
  program?: number,
): ProcedurePass => ({
  name,
  type: name,
  ...(program === undefined ? {} : { program }),
  limits: [limit('wireFeedSpeed', feed), limit('travelSpeed', travel)],
});
const procedure = (...passes: ProcedurePass[]): Procedure => ({
  schema: 'girthlog.procedure/1',
  id: 'test',
  revision: 1,
  title: 'Test',
  passes,
});
const set = (wireFeedMmS: number, travelMmS: number, program: number | null = null): RunningSet => ({
  wireFeedMmS,
  travelMmS,
  program,
});
const likelierOf = (running: RunningSet, of: Procedure, assigned: string): readonly string[] => {
  const result = nearestPass(running, of, assigned, everywhere);
  return result.kind === 'other' ? result.likelier : [];
};
const distanceOf = (running: RunningSet, one: ProcedurePass): number => {
  const result = nearestPass(
    running,
    procedure(one, pass('far', { nominal: 900 }, { nominal: 90 })),
    one.name,
    everywhere,
  );
  if (result.kind === 'notJudged') throw new Error(result.reason);
  return result.distances[0]!.distance;
};

describe('distance, in half-widths of the tolerance', () => {
  const WIDE = { min: 180, nominal: 200, max: 240 };

  test('is 0 at the nominal values and 1 where both stand on a limit, whichever way', () => {
    const one = pass('a', WIDE, { min: 8, max: 12 });
    expect(distanceOf(set(200, 10), one)).toBe(0);
    expect(distanceOf(set(180, 12), one)).toBeCloseTo(1, 12);
    expect(distanceOf(set(240, 8), one)).toBeCloseTo(1, 12);
    // Root mean square of two: 3-4-5.
    expect(distanceOf(set(140, 2), one)).toBeCloseTo(5 / Math.SQRT2, 12);
  });

  test('takes a tolerance in percent, a single limit, a nominal alone and an exact value', () => {
    const travel = { min: 8, max: 12 };
    const at = (feed: Partial<Limit>, mmS: number) =>
      distanceOf(set(mmS, 10), pass('a', feed, travel)) * Math.SQRT2;
    expect(at({ nominal: 200, tolerancePercent: 5 }, 210)).toBeCloseTo(1, 12);
    expect(at({ nominal: 200, max: 220 }, 180)).toBeCloseTo(1, 12);
    // Neither gives a width: 8 % of the value.
    expect(at({ nominal: 200 }, 216)).toBeCloseTo(1, 12);
    expect(at({ exact: 200 }, 184)).toBeCloseTo(1, 12);
    // Never narrower than 2 %.
    expect(at({ nominal: 200, tolerancePercent: 0.1 }, 204)).toBeCloseTo(1, 12);
  });

  test('of several limits that hold, the widest counts; those of the clock zone first', () => {
    const one = pass('a', { nominal: 200, tolerancePercent: 5 }, { min: 8, max: 12 });
    const two: ProcedurePass = {
      ...one,
      limits: [
        ...one.limits,
        limit('wireFeedSpeed', { basis: 'pass', nominal: 200, tolerancePercent: 10 }),
        limit('wireFeedSpeed', { nominal: 180, tolerancePercent: 10, clockZone: { from: 4, to: 8 } }),
      ],
    };
    const other = pass('b', { nominal: 400 }, { nominal: 20 });
    const own = (inZone: boolean, mmS: number): number => {
      const result = nearestPass(set(mmS, 10), procedure(two, other), 'a', () => inZone);
      return result.kind === 'notJudged' ? Number.NaN : result.distances[0]!.distance * Math.SQRT2;
    };
    expect(own(false, 220)).toBeCloseTo(1, 12);
    expect(own(true, 180)).toBeCloseTo(0, 12);
    expect(own(true, 198)).toBeCloseTo(1, 12);
  });
});

describe('decision on the example procedure', () => {
  test('hot under fill 1, with and without the device’s number', () => {
    const result = nearestPass(set(11.5 * M_MIN, 17.4, 2), EXAMPLE, 'fill 1', everywhere);
    expect(result).toMatchObject({ kind: 'other', likelier: ['hot'] });
    expect(likelierOf(set(11.5 * M_MIN, 17.4), EXAMPLE, 'fill 1')).toEqual(['hot']);
  });

  test('passes with the same numbers are named together, and told apart by the device’s number', () => {
    expect(likelierOf(set(10.27 * M_MIN, 7.5), EXAMPLE, 'root')).toEqual(['fill 1', 'fill 2', 'fill 3']);
    expect(likelierOf(set(10.27 * M_MIN, 7.5, 4), EXAMPLE, 'root')).toEqual(['fill 2']);
  });

  test('identical fills say nothing of each other but by the number', () => {
    expect(likelierOf(set(10.27 * M_MIN, 7.5), EXAMPLE, 'fill 2')).toEqual([]);
    expect(likelierOf(set(10.27 * M_MIN, 7.5, 4), EXAMPLE, 'fill 2')).toEqual([]);
    expect(likelierOf(set(10.27 * M_MIN, 7.5, 5), EXAMPLE, 'fill 2')).toEqual(['fill 3']);
  });

  test('a number that no pass has says nothing', () => {
    expect(likelierOf(set(10.27 * M_MIN, 7.5, 77), EXAMPLE, 'fill 2')).toEqual([]);
    expect(likelierOf(set(11.46 * M_MIN, 17.5, 77), EXAMPLE, 'fill 2')).toEqual(['hot']);
  });

  test('the set of another pass outweighs the assigned one’s number', () => {
    expect(likelierOf(set(11.46 * M_MIN, 17.5, 3), EXAMPLE, 'fill 1')).toEqual(['hot']);
    expect(likelierOf(set(10.27 * M_MIN, 7.5, 2), EXAMPLE, 'hot')).toEqual(['fill 1', 'fill 2', 'fill 3']);
  });

  test('another number with the assigned pass’s own set is another way of numbering', () => {
    expect(likelierOf(set(10.27 * M_MIN, 7.5, 2), EXAMPLE, 'fill 1')).toEqual([]);
  });

  test('another number with that pass’s feed is that pass, whatever the travel', () => {
    expect(likelierOf(set(6.88 * M_MIN, 17.5, 1), EXAMPLE, 'hot')).toEqual(['root']);
    expect(likelierOf(set(6.88 * M_MIN, 17.5), EXAMPLE, 'hot')).toEqual([]);
  });

  test('a set that fits no pass is out of range and no other pass', () => {
    expect(likelierOf(set(14 * M_MIN, 3), EXAMPLE, 'fill 1')).toEqual([]);
    expect(likelierOf(set(4 * M_MIN, 25), EXAMPLE, 'cap')).toEqual([]);
  });
});

test('never flagged inside the tolerance of the assigned pass, whatever the others are, without a number', () => {
  const share = fc.double({ min: -1, max: 1, noNaN: true });
  const others = fc.array(
    fc.tuple(fc.double({ min: 50, max: 300, noNaN: true }), fc.double({ min: 2, max: 25, noNaN: true })),
    { minLength: 1, maxLength: 6 },
  );
  fc.assert(
    fc.property(share, share, others, (a, b, rest) => {
      const own = pass('own', { nominal: 170, tolerancePercent: 7 }, { nominal: 7.5, tolerancePercent: 8 });
      const passes = rest.map(([feed, travel], i) => pass(`p${i}`, { nominal: feed }, { nominal: travel }));
      const running = set(170 * (1 + 0.0699 * a), 7.5 * (1 + 0.0799 * b));
      expect(nearestPass(running, procedure(own, ...passes), 'own', everywhere).kind).toBe('assigned');
    }),
  );
});

test('what was welded by another pass’s numbers is named, if it lies outside the assigned tolerance', () => {
  const names = EXAMPLE.passes.map(({ name }) => name);
  for (const assigned of names) {
    for (const welded of EXAMPLE.passes) {
      const nominal = (quantity: string, factor: number): number =>
        welded.limits.find(one => one.quantity === quantity)!.nominal! * factor;
      const running = set(nominal('wireFeedSpeed', M_MIN), nominal('travelSpeed', 1), welded.program!);
      expect(likelierOf(running, EXAMPLE, assigned)).toEqual(welded.name === assigned ? [] : [welded.name]);
    }
  }
});

describe('not judged, with the reason', () => {
  const complete = pass('a', { nominal: 170 }, { nominal: 7 });
  const noTravel: ProcedurePass = { ...complete, name: 'b', limits: complete.limits.slice(0, 1) };

  test('where the assigned pass gives no feed or travel', () => {
    const result = nearestPass(set(170, 7), procedure(complete, noTravel), 'b', everywhere);
    expect(result).toEqual({
      kind: 'notJudged',
      reason: 'the procedure gives no wire feed or no travel for b here',
    });
  });

  test('where no other pass gives them, or only a limit without a middle', () => {
    const noMiddle = pass('c', { max: 200 }, { nominal: 7 });
    const result = nearestPass(set(170, 7), procedure(complete, noTravel, noMiddle), 'a', everywhere);
    expect(result.kind).toBe('notJudged');
  });

  test('a unit that does not fit its quantity leaves its pass out and harms nothing', () => {
    const broken = pass('d', { nominal: 170, unit: 'V' }, { nominal: 7 });
    const other = pass('e', { nominal: 120 }, { nominal: 12 });
    expect(likelierOf(set(120, 12), procedure(complete, broken, other), 'a')).toEqual(['e']);
  });
});
