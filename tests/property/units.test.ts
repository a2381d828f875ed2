import fc from 'fast-check';
import { expect, test } from 'vitest';
import { convert } from '#core/units/ucum';

const families = [
  ['mm', 'cm', 'm', '[in_i]', '[ft_i]'],
  ['mm/s', 'mm/min', 'cm/min', 'm/min', '[in_i]/min'],
  ['kJ/mm', 'J/mm', 'kJ/[in_i]', 'J/[in_i]', 'kJ/cm'],
  ['kg', 'g', '[lb_av]'],
  ['kg/h', '[lb_av]/h'],
  ['L/min', '[cft_i]/h'],
  ['kPa', '[psi]', 'bar'],
  ['deg', 'rad'],
  ['Cel', '[degF]', 'K'],
];
const pair = fc
  .constantFrom(...families)
  .chain(units => fc.tuple(fc.constantFrom(...units), fc.constantFrom(...units), fc.constantFrom(...units)));
const value = fc.double({ min: -1e6, max: 1e6, noNaN: true });

test('there and back is where we were', () => {
  fc.assert(
    fc.property(pair, value, ([from, to], x) => {
      expect(Math.abs(convert(convert(x, from, to), to, from) - x)).toBeLessThanOrEqual(
        1e-12 * Math.max(1000, Math.abs(x)),
      );
    }),
  );
});

test('by way of a third unit is the same', () => {
  fc.assert(
    fc.property(pair, value, ([from, via, to], x) => {
      const direct = convert(x, from, to);
      expect(Math.abs(convert(convert(x, from, via), via, to) - direct)).toBeLessThanOrEqual(
        1e-12 * Math.max(1000, Math.abs(direct)),
      );
    }),
  );
});

test('conversion keeps the order of values', () => {
  fc.assert(
    fc.property(pair, value, value, ([from, to], a, b) => {
      if (a < b) expect(convert(a, from, to)).toBeLessThanOrEqual(convert(b, from, to));
    }),
  );
});
