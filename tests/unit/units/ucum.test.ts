import { expect, test } from 'vitest';
import { convert, converter, isCommensurable, isUnit } from '#core/units/ucum';

// NIST SP 811 (2008), Appendix B.8/B.9 (exact factors in bold); typed from memory, exact by definition.
test.each([
  [1, '[in_i]', 'mm', 25.4],
  [1, '[lb_av]', 'kg', 0.45359237],
  [1, '[in_i]/min', 'mm/s', 0.4233333333333333],
  [1, '[in_i]/min', 'mm/min', 25.4],
  [1, 'mm/s', '[in_i]/min', 2.362204724409449],
  [1, 'kJ/[in_i]', 'kJ/mm', 0.03937007874015748],
  [1, 'kJ/mm', 'kJ/[in_i]', 25.4],
  [1, 'kJ/mm', 'kJ/cm', 10],
  [1, '[lb_av]/h', 'kg/h', 0.45359237],
  [1, '[in_i]/[lb_av]', 'm/kg', 0.055997414594958904],
  [1, '[cft_i]/h', 'L/min', 0.47194744320000004],
  [32, '[degF]', 'Cel', 0],
  [212, '[degF]', 'Cel', 100],
  [-40, '[degF]', 'Cel', -40],
  [300, '[degF]', 'Cel', 148.88888888888889],
  [1, '[psi]', 'kPa', 6.894757293168361],
])('%f %s is %s: NIST SP 811', (value, from, to, expected) => {
  const got = convert(value, from, to);
  if (expected === 0) expect(got).toBe(0);
  else expect(Math.abs(got / expected - 1)).toBeLessThan(1e-12);
});

// Definitions of the SI and of UCUM: exact.
test.each([
  [1, 'm', 'mm', 1000],
  [1, '[ft_i]', '[in_i]', 12],
  [1.5, 'min', 's', 90],
  [2, 'h', 'min', 120],
  [5, 'us', 'ms', 0.005],
  [10.27, 'm/min', 'mm/s', 171.16666666666666],
  [1, 'kA', 'A', 1000],
  [24, 'V', 'mV', 24000],
  [5664, 'W', 'kW', 5.664],
  [1, 'kJ', 'J', 1000],
  [1, 'W.s', 'J', 1],
  [1, 'V.A', 'W', 1],
  [1, 'V/A', 'Ohm', 1],
  [1, 'J/mm', 'kJ/mm', 0.001],
  [25400, 'J/[in_i]', 'kJ/mm', 1],
  [120, '/min', 'Hz', 2],
  [50, '%', '1', 0.5],
  [180, 'deg', 'rad', Math.PI],
  [20, 'Cel', 'K', 293.15],
  [0, 'K', 'Cel', -273.15],
  [1, 'kg', 'g', 1000],
  [7.85, 'g/mL', 'kg/L', 7.85],
  [7850, 'kg/m3', 'kg/mm3', 7.85e-6],
  [5, 'mL/hg', 'mL/g', 0.05],
  [1, 'bar', 'kPa', 100],
  [1, 'L', 'mm3', 1e6],
])('%f %s in %s', (value, from, to, expected) => {
  expect(convert(value, from, to)).toBeCloseTo(expected, 12);
});

test.each([
  'mm',
  's',
  'A',
  'kJ/[in_i]',
  'Cel',
  '[degF]',
  '[cft_i]/h',
  '/min',
  '1',
  '%',
  'deg',
  'mm2',
  'kg/mm3',
])('%s is a unit', code => expect(isUnit(code)).toBe(true));

test.each([
  '',
  'in',
  'ipm',
  'MM',
  'mm/',
  '/',
  '.mm',
  'mm s',
  'furlong',
  'Cel/s',
  'mm/ss',
  'kJ//mm',
  'mm0',
  '[in_i',
])('"%s" is not a unit', code => {
  expect(isUnit(code)).toBe(false);
  expect(() => convert(1, code, 'mm')).toThrow(
    new RegExp(`^"${code.replace(/[.[\]/]/g, '\\$&')}" is not a unit`),
  );
});

test('units of different quantities are refused, both named', () => {
  expect(() => converter('mm/s', 'mm')).toThrow(new RangeError('"mm/s" cannot be converted to "mm"'));
  expect(isCommensurable('kJ/mm', 'J/[in_i]')).toBe(true);
  expect(isCommensurable('kJ/mm', 'kJ')).toBe(false);
  expect(isCommensurable('deg', '1')).toBe(false);
  expect(isCommensurable('K', '[degF]')).toBe(true);
});

test('not a number stays not a number', () => {
  expect(convert(Number.NaN, 'mm', 'm')).toBeNaN();
});
