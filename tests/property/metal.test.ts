import fc from 'fast-check';
import { expect, test } from 'vitest';
import { compoundGroove, jGroove, vGroove } from '#core/metal/bevels';
import { burnOffCurrent, burnOffFeed, burnOffOf } from '#core/metal/burn-off';
import { FillMap } from '#core/metal/fill-map';
import {
  areaBelow,
  fillHeight,
  type Groove,
  type GrooveResult,
  grooveAreaMm2,
  wallOf,
} from '#core/metal/groove';

const finite = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });
const made = (result: GrooveResult): Groove => {
  if (result.kind === 'invalid') throw new Error(result.text);
  return result.groove;
};
const common = { wallMm: finite(4, 40), gapMm: finite(0, 4), rootFaceMm: finite(0, 3) };
const groove: fc.Arbitrary<Groove> = fc.oneof(
  fc.record({ ...common, angleDegrees: finite(1, 40) }).map(b => made(vGroove(b))),
  fc.record({ ...common, angleDegrees: finite(1, 30), radiusMm: finite(1, 5) }).map(b => made(jGroove(b))),
  fc
    .record({
      ...common,
      lowerAngleDegrees: finite(20, 50),
      lowerHeightMm: finite(0, 4),
      upperAngleDegrees: finite(0, 12),
    })
    .map(b => made(compoundGroove(b))),
);

test('the height of an area is the area of that height', () => {
  fc.assert(
    fc.property(groove, finite(0.001, 0.999), (bevel, share) => {
      const area = share * grooveAreaMm2(bevel);
      expect(areaBelow(bevel, fillHeight(bevel, area))).toBeCloseTo(area, 7);
    }),
  );
});

test('more metal never stands lower, and never outside the wall', () => {
  fc.assert(
    fc.property(groove, finite(0, 1.2), finite(0, 1.2), (bevel, a, b) => {
      const whole = grooveAreaMm2(bevel);
      const low = fillHeight(bevel, Math.min(a, b) * whole);
      const high = fillHeight(bevel, Math.max(a, b) * whole);
      expect(high).toBeGreaterThanOrEqual(low - 1e-12);
      expect(low).toBeGreaterThanOrEqual(0);
      expect(high).toBeLessThanOrEqual(wallOf(bevel));
    }),
  );
});

test('the fill map loses no metal, however it is laid down', () => {
  fc.assert(
    fc.property(
      groove,
      fc.array(fc.tuple(finite(-4000, 4000), finite(-3000, 3000), finite(0, 5000)), { maxLength: 20 }),
      (bevel, deposits) => {
        const map = new FillMap(bevel, 610);
        let laid = 0;
        for (const [from, length, volume] of deposits) {
          map.deposit(from, length, volume);
          laid += volume;
        }
        expect(Math.abs(map.volumeMm3() - laid)).toBeLessThanOrEqual(1e-6 * Math.max(1, laid));
      },
    ),
  );
});

test('a run cut anywhere fills the map the same', () => {
  fc.assert(
    fc.property(groove, finite(0, 1000), finite(1, 900), finite(0, 1), (bevel, from, length, share) => {
      const whole = new FillMap(bevel, 610);
      const parts = new FillMap(bevel, 610);
      whole.deposit(from, length, 1000);
      parts.deposit(from, length * share, 1000 * share);
      parts.deposit(from + length * share, length * (1 - share), 1000 * (1 - share));
      whole.areaMm2.forEach((area, i) => {
        expect(parts.areaMm2[i]).toBeCloseTo(area, 6);
      });
    }),
  );
});

test('burn-off: the current of a feed feeds that feed', () => {
  fc.assert(
    fc.property(finite(0.8, 1.6), finite(30, 450), finite(5, 25), (diameter, current, tip) => {
      const line = burnOffOf(diameter);
      expect(burnOffCurrent(line, burnOffFeed(line, current, tip), tip) / current).toBeCloseTo(1, 9);
    }),
  );
});
