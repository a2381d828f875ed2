/** The chart in weld length against its computed run length, and against the tabular form that it generalises. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { Cusum } from '#core/drift/cusum';
import { WeldCusum } from '#core/drift/weld-cusum';
import { weldCusumRunLength } from '#core/drift/weld-cusum-run-length';
import { RunningStatistics } from '#core/statistics/running-statistics';
import { normals } from '../support/normals.ts';

const STEPS = 5;

test.each([
  [0.5, 4, 0],
  [0.5, 4, 1],
  [1.5, 3.5, 4],
  [1, 3, 2],
])('simulated steps agree with the computed run length: k %f, h %f, shift %f', (k, h, shift) => {
  const computed = weldCusumRunLength({ k, h, shift });
  if (computed.kind !== 'value') throw new Error(computed.text);
  const next = normals(11);
  const lengths = new RunningStatistics();
  for (let run = 0; run < 3000; run++) {
    // High enough a cap that nothing is cut: the computation knows of none.
    const chart = new WeldCusum({ k, h });
    let steps = 1;
    while (chart.add(shift + Math.sqrt(STEPS) * next(), 1 / STEPS, 5 * steps, steps) === null) steps++;
    lengths.add(steps / STEPS);
  }
  const standardError = lengths.standardDeviation! / Math.sqrt(3000);
  expect(Math.abs(lengths.mean! - computed.value)).toBeLessThan(4 * standardError + 0.002 * computed.value);
  expect(standardError / computed.value).toBeLessThan(0.03);
});

test('fed a whole window at a time it is the tabular form', () => {
  fc.assert(
    fc.property(fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { maxLength: 60 }), values => {
      const settings = { k: 0.5, h: 2 };
      const tabular = new Cusum(settings);
      const chart = new WeldCusum(settings);
      values.forEach((z, i) => {
        const expected = tabular.add(z);
        const got = chart.add(z, 1, 25 * i, i);
        expect(got?.direction ?? null).toBe(expected?.direction ?? null);
        if (got && expected) {
          expect(got.fromMm).toBe(25 * expected.onset);
          expect(got.shift).toBeCloseTo(expected.shift, 9);
        }
      });
    }),
    { numRuns: 200 },
  );
});

test('cut anywhere into steps of the same level it adds up to the same sum', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -4, max: 4, noNaN: true }),
      fc.array(fc.integer({ min: 1, max: 10 }), { minLength: 1, maxLength: 20 }),
      (z, cuts) => {
        const settings = { k: 1, h: 1000 };
        const whole = new WeldCusum(settings);
        const pieces = new WeldCusum(settings);
        const total = cuts.reduce((sum, cut) => sum + cut, 0);
        whole.add(z, total, 0, 0);
        let at = 0;
        for (const cut of cuts) {
          pieces.add(z, cut, at, at);
          at += cut;
        }
        expect(pieces.most).toBeCloseTo(whole.most, 9);
      },
    ),
  );
});
