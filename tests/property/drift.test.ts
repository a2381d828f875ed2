import fc from 'fast-check';
import { expect, test } from 'vitest';
import { Cusum } from '#core/drift/cusum';
import { cusumRunLength } from '#core/drift/cusum-run-length';
import { Ewma, ewmaHalfWidth } from '#core/drift/ewma';
import { ewmaRunLength } from '#core/drift/ewma-run-length';
import { contributions, learnBaseline, tSquared } from '#core/drift/hotelling';
import { theilSen } from '#core/drift/theil-sen';
import { RunningStatistics } from '#core/statistics/running-statistics';
import { normals } from '../support/normals.ts';

/** Mean run length of `runs` simulated charts lies within four standard errors of the computed one. */
function agree(computed: number, runs: number, oneRun: () => number): void {
  const lengths = new RunningStatistics();
  for (let run = 0; run < runs; run++) lengths.add(oneRun());
  const standardError = lengths.standardDeviation! / Math.sqrt(runs);
  expect(Math.abs(lengths.mean! - computed)).toBeLessThan(4 * standardError);
  // The interval is narrow enough to mean something.
  expect(standardError / computed).toBeLessThan(0.03);
}

test.each([
  [0.5, 4, 0],
  [0.5, 4, 1],
  [1, 2.52, 0],
  [1, 5, 2],
])('simulated CUSUM runs agree with the computed run length: k %f, h %f, shift %f', (k, h, shift) => {
  const computed = cusumRunLength({ k, h, shift });
  if (computed.kind !== 'value') throw new Error(computed.text);
  const next = normals(20240501);
  agree(computed.value, 3000, () => {
    const cusum = new Cusum({ k, h });
    let n = 1;
    while (cusum.add(next() + shift) === null) n++;
    return n;
  });
});

test.each([
  [0.2, 2.859, 0],
  [0.2, 3, 1],
  [0.05, 2, 0.5],
])('simulated EWMA runs agree with the computed run length: λ %f, L %f, shift %f', (lambda, width, shift) => {
  const computed = ewmaRunLength({ lambda, width, shift });
  if (computed.kind !== 'value') throw new Error(computed.text);
  const next = normals(7);
  const half = ewmaHalfWidth({ lambda, width }, 1);
  agree(computed.value, 3000, () => {
    const ewma = new Ewma(0, { lambda, width });
    while (Math.abs(ewma.add(next() + shift)) <= half);
    return ewma.count;
  });
});

const rowsOf = (seed: number, n: number): number[][] => {
  const next = normals(seed);
  return Array.from({ length: n }, () => {
    const common = next();
    return [236 + 4 * next() + 3 * common, 24 + 0.3 * next() - 0.2 * common, 171 + 2 * next() + common];
  });
};
const names = ['I', 'U', 'feed'];

test('T² does not change under any linear change of units, mixed channels included', () => {
  fc.assert(
    fc.property(
      fc.nat(1e6),
      fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 9, maxLength: 9 }),
      fc.array(fc.double({ min: -500, max: 500, noNaN: true }), { minLength: 3, maxLength: 3 }),
      (seed, m, shift) => {
        // Diagonally dominant, so the change of units can be undone.
        const a = m.map((value, i) => (i % 4 === 0 ? value + Math.sign(value || 1) * 7 : value));
        const change = (row: readonly number[]): number[] =>
          shift.map((s, i) => s + a[i * 3]! * row[0]! + a[i * 3 + 1]! * row[1]! + a[i * 3 + 2]! * row[2]!);
        const rows = rowsOf(seed, 30);
        const before = learnBaseline(rows, names);
        const after = learnBaseline(rows.map(change), names);
        if (before.kind !== 'baseline' || after.kind !== 'baseline') throw new Error('both can be learned');
        for (const row of rows.slice(0, 5)) {
          const t2 = tSquared(before.baseline, row);
          expect(Math.abs(tSquared(after.baseline, change(row)) - t2)).toBeLessThan(1e-6 * Math.max(1, t2));
        }
      },
    ),
    { numRuns: 50 },
  );
});

test('the parts of T² do not change with each channel’s own unit', () => {
  fc.assert(
    fc.property(
      fc.nat(1e6),
      fc.array(fc.double({ min: 0.001, max: 1000, noNaN: true }), { minLength: 3, maxLength: 3 }),
      (seed, scale) => {
        const rows = rowsOf(seed, 25);
        const scaled = rows.map(row => row.map((value, i) => value * scale[i]! + 5));
        const before = learnBaseline(rows, names);
        const after = learnBaseline(scaled, names);
        if (before.kind !== 'baseline' || after.kind !== 'baseline') throw new Error('both can be learned');
        const parts = contributions(before.baseline, rows[0]!);
        contributions(after.baseline, scaled[0]!).forEach((part, i) => {
          expect(part.amount).toBeCloseTo(parts[i]!.amount, 6);
          expect(part.deviations).toBeCloseTo(parts[i]!.deviations, 6);
        });
      },
    ),
    { numRuns: 50 },
  );
});

test('T² of the learning rows sums to p(n − 1)', () => {
  fc.assert(
    fc.property(fc.nat(1e6), fc.integer({ min: 6, max: 80 }), (seed, n) => {
      const rows = rowsOf(seed, n);
      const result = learnBaseline(rows, names);
      if (result.kind !== 'baseline') throw new Error(result.text);
      const sum = rows.reduce((total, row) => total + tSquared(result.baseline, row), 0);
      expect(sum).toBeCloseTo(3 * (n - 1), 6);
    }),
    { numRuns: 50 },
  );
});

test('the robust slope follows a change of units and does not depend on the order', () => {
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.integer({ min: 0, max: 5000 }), fc.double({ min: -100, max: 100, noNaN: true })), {
        minLength: 3,
        maxLength: 40,
      }),
      fc.double({ min: 0.1, max: 10, noNaN: true }),
      (points, factor) => {
        const line = theilSen(
          points.map(p => p[0]),
          points.map(p => p[1]),
        );
        const turned = points.toReversed();
        const other = theilSen(
          turned.map(p => p[0]),
          turned.map(p => p[1] * factor),
        );
        if (line === null) expect(other).toBeNull();
        else
          expect(Math.abs(other!.slope - factor * line.slope)).toBeLessThan(
            1e-9 * Math.max(1, Math.abs(line.slope)),
          );
      },
    ),
  );
});
