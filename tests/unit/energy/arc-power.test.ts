import { expect, test } from 'vitest';
import { arcPower, instantaneousEnergyJ } from '#core/energy/arc-power';

/** One cycle of a two-level waveform in `n` even samples. */
const pulsed = (n: number, duty: number, peak: number, base: number): number[] =>
  Array.from({ length: n }, (_, i) => (i < n * duty ? peak : base));

// Derived: closed form for a rectangular two-level waveform, mean(UI) − mean(U)·mean(I) = D(1 − D)(Ip − Ib)(Up − Ub).
test('pulsed, voltage rising with current: U·I reads 13 % low (derived)', () => {
  const power = arcPower(pulsed(400, 0.25, 34, 22), pulsed(400, 0.25, 400, 100))!;
  expect(power.meanCurrentA).toBeCloseTo(175, 9);
  expect(power.meanVoltageV).toBeCloseTo(25, 9);
  expect(power.instantaneousW).toBeCloseTo(5050, 9);
  expect(power.arithmeticalW).toBeCloseTo(4375, 9);
  expect(power.instantaneousW / power.arithmeticalW).toBeCloseTo(1.1542857142857144, 12);
  expect(power.instantaneousW / 6000).toBeCloseTo(0.8416666666666667, 12);
  expect(power.arithmeticalW / 6000).toBeCloseTo(0.7291666666666666, 12);
  expect(instantaneousEnergyJ([34, 22], [400, 100], [15, 45])).toBeCloseTo(303000, 9);
});

test('pulsed, voltage falling as current rises: U·I reads 15 % high (derived)', () => {
  const power = arcPower(pulsed(1000, 0.24, 20, 28), pulsed(1000, 0.24, 380, 60))!;
  expect(power.meanCurrentA).toBeCloseTo(136.8, 9);
  expect(power.meanVoltageV).toBeCloseTo(26.08, 9);
  expect(power.instantaneousW).toBeCloseTo(3100.8, 9);
  expect(power.arithmeticalW).toBeCloseTo(3567.744, 9);
  expect(power.instantaneousW / power.arithmeticalW).toBeCloseTo(0.8691206543967281, 9);
});

test.each([
  [0, 5500],
  [90, 5200],
  [180, 4900],
])('sinusoidal ripple, phase %i°: %i W (derived: U0·I0 + ½·Uac·Iac·cos φ)', (phase, watts) => {
  const n = 12;
  const angle = (i: number): number => (2 * Math.PI * i) / n;
  const voltage = Array.from({ length: n }, (_, i) => 26 + 4 * Math.sin(angle(i) + (phase * Math.PI) / 180));
  const current = Array.from({ length: n }, (_, i) => 200 + 150 * Math.sin(angle(i)));
  expect(arcPower(voltage, current)!.instantaneousW).toBeCloseTo(watts, 6);
});

// J. Braz. Soc. Mech. Sci. Eng. 2021, doi 10.1007/s40430-021-03317-6, Eqs 1–4.
test('the three definitions of arc power, by their equations', () => {
  const u = [20, 24, 30];
  const i = [100, 250, 90];
  const power = arcPower(u, i)!;
  const rms = (x: number[]): number => Math.sqrt(x.reduce((sum, value) => sum + value ** 2, 0) / 3);
  expect(power.effectiveW).toBeCloseTo(rms(u) * rms(i), 10);
  expect(power.arithmeticalW).toBeCloseTo((74 / 3) * (440 / 3), 10);
  expect(power.instantaneousW).toBeCloseTo((2000 + 6000 + 2700) / 3, 10);
  expect(power.effectiveW).toBeGreaterThanOrEqual(power.instantaneousW);
  expect(arcPower([], [])).toBeNull();
});
