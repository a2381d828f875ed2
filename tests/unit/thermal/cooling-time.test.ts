import { expect, test } from 'vitest';
import type { Answer } from '#core/calculations/answer';
import { heatInput } from '#core/energy/heat-input';
import {
  COOLING_THERMAL_EFFICIENCY,
  coolingTime,
  coolingTimeThick,
  coolingTimeThin,
  SHAPE_FACTORS,
} from '#core/thermal/cooling-time';

const result = <T>(answer: Answer<T>): T => {
  if (answer.kind !== 'value') throw new Error(answer.text);
  return answer.value;
};

// EN 1011-2:2001+A1:2003 Annex D.6, formulas in four independent public transcriptions, written out here as printed.
test.each([
  [0.5, 20, 8],
  [1, 100, 15.9],
  [1.8, 150, 25.4],
])('Q %f, T0 %f, d %f: the two formulas as printed (EN 1011-2 Annex D.6)', (q, t0, d) => {
  const thick = (6700 - 5 * t0) * q * (1 / (500 - t0) - 1 / (800 - t0));
  const thin = ((4300 - 4.3 * t0) * 1e5 * q ** 2 * (1 / (500 - t0) ** 2 - 1 / (800 - t0) ** 2)) / d ** 2;
  expect(result(coolingTimeThick(q, t0))).toBeCloseTo(thick, 10);
  expect(result(coolingTimeThin(q, t0, d))).toBeCloseTo(thin, 10);
  expect(result(coolingTimeThick(q, t0, 0.9))).toBeCloseTo(0.9 * thick, 10);
  expect(result(coolingTimeThin(q, t0, d, 0.9))).toBeCloseTo(0.9 * thin, 10);
  const both = result(coolingTime({ heatInputKjPerMm: q, startCel: t0, thicknessMm: d }));
  expect(both.seconds).toBe(Math.max(both.thickS, both.thinS));
});

test('shape factors of a plate and a butt weld (EN 1011-2 Annex D)', () => {
  expect(SHAPE_FACTORS['run on plate']).toEqual({ f2: 1, f3: 1 });
  expect(SHAPE_FACTORS['between runs in a butt weld']).toEqual({ f2: 0.9, f3: 0.9 });
  const corner = SHAPE_FACTORS['single run fillet, corner joint'].f2;
  expect(corner).toBeGreaterThanOrEqual(0.67);
  expect(corner).toBeLessThanOrEqual(0.9);
  const tee = SHAPE_FACTORS['single run fillet, T-joint'].f2;
  expect(tee).toBeGreaterThanOrEqual(0.45);
  expect(tee).toBeLessThanOrEqual(0.67);
});

// EN 1011-2:2001+A1:2003 inputs as used in a public worked example; the answers were worked out apart (self-consistency).
test.each([
  [1, 20, 5.29, 0.005],
  [1, 150, 7.85, 0.005],
  [1.2, 20, 6.3462, 0.001],
])('thick, Q %f, T0 %f: %f s (answer derived)', (q, t0, seconds, tolerance) => {
  expect(Math.abs(result(coolingTimeThick(q, t0)) - seconds)).toBeLessThan(tolerance);
});
test.each([
  [1, 10, 11.36, 0.05],
  [1, 20, 2.84, 0.005],
  [1.2, 10, 16.3635, 0.001],
])('thin, Q %f, d %f: %f s (answer derived)', (q, d, seconds, tolerance) => {
  expect(Math.abs(result(coolingTimeThin(q, 20, d)) - seconds)).toBeLessThan(tolerance);
});

test('the larger holds; they meet at the transition thickness (answers derived)', () => {
  const ten = result(coolingTime({ heatInputKjPerMm: 1, startCel: 20, thicknessMm: 10 }));
  expect(ten).toMatchObject({ flow: 'thin' });
  expect(Math.abs(ten.transitionMm - 14.658)).toBeLessThan(0.001);
  expect(Math.abs(ten.seconds - 11.3635)).toBeLessThan(0.0005);
  const twenty = result(coolingTime({ heatInputKjPerMm: 1, startCel: 20, thicknessMm: 20 }));
  expect(twenty).toMatchObject({ flow: 'thick' });
  expect(Math.abs(twenty.seconds - 5.2885)).toBeLessThan(0.0005);
  const there = result(coolingTime({ heatInputKjPerMm: 1, startCel: 20, thicknessMm: ten.transitionMm }));
  expect(there.thickS).toBeCloseTo(there.thinS, 10);
});

// EN 1011-1 Table 1 against EN 1011-2 Annex D: two constants, not one.
test('k for cooling time is 0.85, for heat input 0.8', () => {
  expect(COOLING_THERMAL_EFFICIENCY).toBe(0.85);
  expect(result(heatInput(1))).toBe(0.8);
});

test('outside what the formulas hold for: the range, not a number', () => {
  expect(coolingTimeThick(1, 500)).toMatchObject({
    kind: 'outOfRange',
    text: 'start temperature 500 °C is out of range: -50 to 450 °C',
  });
  expect(coolingTimeThick(0, 20)).toMatchObject({ name: 'heat input' });
  expect(coolingTimeThin(1, 20, 0)).toMatchObject({ name: 'thickness' });
  expect(coolingTime({ heatInputKjPerMm: 1, startCel: 20, thicknessMm: Number.NaN })).toMatchObject({
    text: 'thickness is not a finite number',
  });
});
