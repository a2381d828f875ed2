import fc from 'fast-check';
import { expect, test } from 'vitest';
import { circumferentialPosition } from '#core/position/circumferential-position';
import { clockPosition, clockText, normalDegrees } from '#core/position/clock-position';

const finite = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });

test('position is always in range', () => {
  fc.assert(
    fc.property(
      finite(-1e6, 1e6),
      finite(-1e4, 1e4),
      finite(50, 2000),
      fc.constantFrom('A' as const, 'B' as const),
      (alongMm, startDegrees, outsideDiameterMm, side) => {
        const at = circumferentialPosition({ alongMm, startDegrees, outsideDiameterMm, side });
        expect(at.degrees).toBeGreaterThanOrEqual(0);
        expect(at.degrees).toBeLessThan(360);
        expect(at.clock).toBeGreaterThan(0);
        expect(at.clock).toBeLessThanOrEqual(12);
        expect(at.circumferentialMm).toBeGreaterThanOrEqual(0);
        expect(at.circumferentialMm).toBeLessThan(Math.PI * outsideDiameterMm);
      },
    ),
  );
});

test('the two sides mirror each other about the start', () => {
  fc.assert(
    fc.property(finite(0, 3000), finite(0, 360), (alongMm, startDegrees) => {
      const pipe = { alongMm, startDegrees, outsideDiameterMm: 610 };
      const a = circumferentialPosition({ ...pipe, side: 'A' });
      const b = circumferentialPosition({ ...pipe, side: 'B' });
      const apart = normalDegrees(a.degrees + b.degrees - 2 * startDegrees);
      expect(Math.min(apart, 360 - apart)).toBeLessThan(1e-9);
    }),
  );
});

test('a whole turn changes nothing, and the text is a time of day', () => {
  fc.assert(
    fc.property(finite(-720, 720), degrees => {
      const apart = Math.abs(clockPosition(degrees) - clockPosition(degrees + 360));
      expect(Math.min(apart, 12 - apart)).toBeLessThan(1e-9);
      expect(clockText(clockPosition(degrees))).toMatch(/^(1[0-2]|[1-9]):[0-5]\d$/);
    }),
  );
});
