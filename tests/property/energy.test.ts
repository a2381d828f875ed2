import fc from 'fast-check';
import { expect, test } from 'vitest';
import { arcEnergyFromEnergy, arcEnergyFromMeans } from '#core/energy/arc-energy';
import { arcPower, instantaneousEnergyJ } from '#core/energy/arc-power';
import { CompensatedSum } from '#core/statistics/compensated-sum';
import { RunningStatistics } from '#core/statistics/running-statistics';

const sample = fc.record({
  u: fc.double({ min: 0, max: 60, noNaN: true }),
  i: fc.double({ min: 0, max: 600, noNaN: true }),
  dt: fc.double({ min: 1e-4, max: 1, noNaN: true }),
});
const run = fc.array(sample, { minLength: 1, maxLength: 200 });

const energy = (samples: readonly { u: number; i: number; dt: number }[]): number =>
  instantaneousEnergyJ(
    samples.map(s => s.u),
    samples.map(s => s.i),
    samples.map(s => s.dt),
  );

test('energy is additive over any split', () => {
  fc.assert(
    fc.property(run, fc.nat(200), (samples, at) => {
      const cut = at % (samples.length + 1);
      const whole = energy(samples);
      const parts = energy(samples.slice(0, cut)) + energy(samples.slice(cut));
      expect(Math.abs(parts - whole)).toBeLessThanOrEqual(1e-12 * Math.max(1, whole));
    }),
  );
});

test('energy never falls as samples arrive', () => {
  fc.assert(
    fc.property(run, samples => {
      let before = 0;
      for (let n = 1; n <= samples.length; n++) {
        const now = energy(samples.slice(0, n));
        expect(now).toBeGreaterThanOrEqual(before - 1e-9);
        before = now;
      }
    }),
    { numRuns: 30 },
  );
});

test('a constant signal has the same energy at any sample rate', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 10, max: 40, noNaN: true }),
      fc.double({ min: 30, max: 400, noNaN: true }),
      fc.integer({ min: 1, max: 5000 }),
      (u, i, n) => {
        const seconds = 12.5;
        const got = instantaneousEnergyJ(
          new Float64Array(n).fill(u),
          new Float64Array(n).fill(i),
          new Float64Array(n).fill(seconds / n),
        );
        expect(Math.abs(got / (u * i * seconds) - 1)).toBeLessThan(1e-12);
      },
    ),
  );
});

test('methods A and B agree when nothing varies', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 10, max: 40, noNaN: true }),
      fc.double({ min: 30, max: 400, noNaN: true }),
      fc.double({ min: 1, max: 30, noNaN: true }),
      (voltageV, currentA, travelMmPerS) => {
        const a = arcEnergyFromMeans({ voltageV, currentA, travelMmPerS });
        const b = arcEnergyFromEnergy({ energyJ: voltageV * currentA * 7, lengthMm: travelMmPerS * 7 });
        if (a.kind !== 'value' || b.kind !== 'value') throw new Error('both have a value here');
        expect(Math.abs(a.value / b.value - 1)).toBeLessThan(1e-12);
      },
    ),
  );
});

test('the effective power is never below the instantaneous (Cauchy–Schwarz)', () => {
  fc.assert(
    fc.property(run, samples => {
      const power = arcPower(
        samples.map(s => s.u),
        samples.map(s => s.i),
      )!;
      expect(power.effectiveW).toBeGreaterThanOrEqual(power.instantaneousW * (1 - 1e-12) - 1e-9);
    }),
  );
});

test('a compensated sum does not depend on the order of its terms', () => {
  fc.assert(
    fc.property(fc.array(fc.double({ min: -1e12, max: 1e12, noNaN: true }), { maxLength: 100 }), values => {
      const forward = new CompensatedSum();
      const backward = new CompensatedSum();
      for (const value of values) forward.add(value);
      for (const value of values.toReversed()) backward.add(value);
      const size = values.reduce((sum, value) => sum + Math.abs(value), 0);
      expect(Math.abs(forward.value - backward.value)).toBeLessThanOrEqual(4e-16 * size);
    }),
  );
});

test('running statistics merged at any cut are those of the whole', () => {
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: -1000, max: 1000, noNaN: true }), { minLength: 2, maxLength: 100 }),
      fc.nat(100),
      (values, at) => {
        const whole = new RunningStatistics();
        const left = new RunningStatistics();
        const right = new RunningStatistics();
        values.forEach((value, i) => {
          whole.add(value);
          (i < at % values.length ? left : right).add(value);
        });
        left.merge(right);
        expect(left.mean).toBeCloseTo(whole.mean!, 9);
        expect(left.standardDeviation).toBeCloseTo(whole.standardDeviation!, 8);
      },
    ),
  );
});
