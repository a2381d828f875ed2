import { expect, test } from 'vitest';
import { heatingEnergyJPerMm3, meltedArea } from '#core/energy/melting';

test('40 V, 400 A, 0.8 and 0.3, 20 J/mm³, 4 mm/s melts 48 mm² (GATE past paper, answer derived)', () => {
  expect(
    meltedArea({
      powerW: 16000,
      transferShare: 0.8,
      meltingShare: 0.3,
      meltingEnergyJPerMm3: 20,
      travelMmPerS: 4,
    }),
  ).toEqual({ kind: 'value', value: expect.closeTo(48, 9) });
});

// Kalpakjian & Schmid, Manufacturing Engineering and Technology, ch. 30: from memory.
test.each([
  [2.9, 34.5],
  [9.7, 10.3],
  [14.3, 7.0],
])('at %f J/mm³ the travel that melts 30 mm² is %f mm/s (from memory)', (energy, travel) => {
  const answer = meltedArea({
    powerW: 4000,
    transferShare: 0.75,
    meltingShare: 1,
    meltingEnergyJPerMm3: energy,
    travelMmPerS: travel,
  });
  if (answer.kind !== 'value') throw new Error(answer.text);
  expect(Math.abs(answer.value / 30 - 1)).toBeLessThan(0.005);
});

test('30 V, 150 A melting 1.2 mm wire at 12 m/min with 2/3 of the power: 39.58 % (GATE past paper, answer derived)', () => {
  const perMm3 = heatingEnergyJPerMm3({
    densityKgPerM3: 7000,
    heatCapacityJPerKgK: 500,
    fromCel: 30,
    toCel: 1530,
  });
  const watts = perMm3 * (Math.PI / 4) * 1.2 ** 2 * (12000 / 60);
  expect(Math.abs((watts / (30 * 150 * (2 / 3))) * 100 - 39.58)).toBeLessThan(0.005);
});

test('no travel, no area', () => {
  expect(
    meltedArea({
      powerW: 1,
      transferShare: 0.8,
      meltingShare: 1,
      meltingEnergyJPerMm3: 9.7,
      travelMmPerS: 0,
    }),
  ).toMatchObject({ kind: 'outOfRange', name: 'travel speed' });
});
