import { expect, test } from 'vitest';
import { combinedRelative, expanded, propagated, standardUncertainty } from '#core/statistics/uncertainty';

test('V 1 %, I 1.5 %, travel 2 % combine to 5.4 % at k = 2 (GUM 5.1.6, worked by hand)', () => {
  const u = combinedRelative([{ relative: 0.01 }, { relative: 0.015 }, { relative: 0.02, power: -1 }]);
  expect(expanded(u)).toBeCloseTo(0.0538516, 7);
});

test('limits ± a are a rectangular distribution: a/√3 (GUM 4.3.7)', () => {
  expect(standardUncertainty({ value: 0.3, kind: 'limits' })).toBeCloseTo(0.17320508, 8);
  expect(standardUncertainty({ value: 0.3, kind: 'standard' })).toBe(0.3);
});

test('an unknown part makes the whole unknown', () => {
  expect(combinedRelative([{ relative: 0.01 }, { relative: null }])).toBeNull();
  expect(expanded(null)).toBeNull();
  expect(propagated(([x]) => x ?? null, [1], [null])).toBeNull();
});

test('propagation by differences gives the product rule', () => {
  const inputs = [24, 236, 7.5];
  const energy = ([u, i, v]: readonly number[]): number => (u! * i!) / (1000 * v!);
  const u = propagated(energy, inputs, [0.24, 3.54, 0.15])!;
  const rule = combinedRelative([{ relative: 0.01 }, { relative: 0.015 }, { relative: 0.02, power: -1 }])!;
  expect(u / energy(inputs) / rule).toBeCloseTo(1, 3);
});

test('no value at a needed point, no uncertainty', () => {
  expect(propagated(([x]) => (x! > 1 ? null : x!), [1], [0.1])).toBeNull();
});
