import { expect, test } from 'vitest';
import { shownUnitOf, shownUnits, UNIT_SYSTEMS } from '#core/units/shown-units';
import { convert, isCommensurable } from '#core/units/ucum';

// NIST SP 811 (2008), Appendix B.8 (1 in = 25.4 mm, 1 ft³ = 28.316 846 592 L, 1 lb = 0.453 592 37 kg, exact) and
// 8.5 (t/°F = 1.8 t/°C + 32); typed from memory, exact by definition.
test.each([
  ['wireFeedSpeed', 25.4 / 60, 1],
  ['travelSpeed', 25.4 / 60, 1],
  ['arcEnergy', 1 / 25.4, 1],
  ['heatInput', 1, 25.4],
  ['gasFlow', 28.316846592 / 60, 1],
  ['preheatTemperature', 100, 212],
  ['interpassTemperature', 0, 32],
  ['length', 25.4, 1],
  ['size', 12.7, 0.5],
  ['area', 645.16, 1],
  ['wireLength', 0.3048, 1],
  ['wireMass', 0.45359237, 1],
  ['depositionRate', 0.45359237, 1],
  ['gasVolume', 28.316846592, 1],
  ['weldingCurrent', 220, 220],
])('%s: %f stored is %f in US units', (quantity, stored, shown) => {
  const unit = shownUnitOf('inch', quantity)!;
  expect(unit.shown(stored)).toBeCloseTo(shown, 10);
  expect(unit.toStored(shown)).toBeCloseTo(stored, 10);
});

test('metric is what is stored, but for wire feed in m/min and power in kW', () => {
  const other = Object.entries(shownUnits('metric')).filter(([, unit]) => unit.stored !== unit.code);
  expect(other.map(([quantity]) => quantity)).toEqual(['wireFeedSpeed', 'power']);
});

test('both systems show the same quantity, each with its unit', () => {
  const names = Object.keys(shownUnits('metric'));
  for (const system of UNIT_SYSTEMS) {
    for (const name of names) {
      const unit = shownUnitOf(system, name)!;
      expect(isCommensurable(unit.stored, unit.code)).toBe(true);
      expect(unit.unit).not.toBe('');
      expect(unit.shown(1)).toBe(convert(1, unit.stored, unit.code));
    }
  }
  expect(shownUnitOf('inch', 'no such quantity')).toBeNull();
});
