import { expect, test } from 'vitest';
import type { Answer } from '#core/calculations/answer';
import { cusumRunLength, cusumRunLengthOneSided } from '#core/drift/cusum-run-length';
import { ewmaRunLength } from '#core/drift/ewma-run-length';
import { falseCalls } from '#core/drift/false-calls';

const number = (answer: Answer): number => {
  if (answer.kind !== 'value') throw new Error(answer.text);
  return answer.value;
};
const near = (got: number, expected: number, relative: number, absolute: number): void => {
  expect(Math.abs(got - expected)).toBeLessThanOrEqual(Math.max(relative * expected, absolute));
};

// Lucas & Crosier, Technometrics 24 (1982), Table 1, as printed in CRAN spc, xcusum.arl examples: two-sided, k 0.5, h 4.
const LUCAS_CROSIER = [
  [0, 168, 149],
  [0.25, 74.2, 62.7],
  [0.5, 26.6, 20.1],
  [0.75, 13.3, 8.97],
  [1, 8.38, 5.29],
  [1.5, 4.75, 2.86],
  [2, 3.34, 2.01],
  [2.5, 2.62, 1.59],
  [3, 2.19, 1.32],
  [4, 1.71, 1.07],
  [5, 1.31, 1.01],
] as const;
test.each(LUCAS_CROSIER)(
  'shift %f: %f windows, %f with a head start of h/2 (Lucas & Crosier 1982)',
  (shift, arl, fast) => {
    near(number(cusumRunLength({ k: 0.5, h: 4, shift })), arl, 0.005, 0.005);
    near(number(cusumRunLength({ k: 0.5, h: 4, shift, headStart: 2 })), fast, 0.005, 0.005);
  },
);

// Vance (1986) / Goel & Wu (1971), Table 1, as printed in CRAN spc: one-sided, k 0, h 10.
test.each([
  [-0.25, 2071.51],
  [-0.125, 400.28],
  [0, 124.66],
  [0.125, 59.3],
  [0.25, 36.71],
  [0.5, 20.37],
  [0.75, 14.06],
  [1, 10.75],
])('one side, k 0, h 10, shift %f: %f (Vance 1986)', (shift, arl) => {
  near(number(cusumRunLengthOneSided({ k: 0, h: 10, shift })), arl, 5e-5, 0.006);
});

// SAS/QC manual 1999 values, as printed in CRAN spc.
// The converged value is 4.150083726116 for any number of nodes (numpy, apart from here, gives the same twelve digits), so the printed
// two-sided one carries 1.05e-6 of its own quadrature.
test('k 0.25, h 8, shift 2.5: one side, head start, two sides to the printed values’ own error (SAS/QC manual 1999)', () => {
  const design = { k: 0.25, h: 8, shift: 2.5 };
  near(number(cusumRunLengthOneSided(design)), 4.1500836225, 0, 1e-6);
  near(number(cusumRunLengthOneSided({ ...design, headStart: 0.1 })), 4.1061588131, 0, 1e-6);
  near(number(cusumRunLength(design)), 4.1500826715, 0, 1.1e-6);
});

// Montgomery, ISQC, Tables 9.3 and 9.4 (Hawkins 1993): from memory (self-consistency).
test('Montgomery’s tables of run lengths (from memory)', () => {
  const shifts = [0, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4];
  const h4 = [168, 74.2, 26.6, 13.3, 8.38, 4.75, 3.34, 2.62, 2.19, 1.71];
  const h5 = [465, 139, 38.0, 17.0, 10.4, 5.75, 4.01, 3.11, 2.57, 2.01];
  shifts.forEach((shift, i) => {
    near(number(cusumRunLength({ k: 0.5, h: 4, shift })), h4[i]!, 0.006, 0.006);
    near(number(cusumRunLength({ k: 0.5, h: 5, shift })), h5[i]!, 0.006, 0.006);
  });
  for (const [k, h] of [
    [0.25, 8.01],
    [0.5, 4.77],
    [0.75, 3.34],
    [1, 2.52],
    [1.25, 1.99],
    [1.5, 1.61],
  ] as const) {
    near(number(cusumRunLength({ k, h, shift: 0 })), 370, 0.02, 0);
  }
});

// NIST/SEMATECH e-Handbook 6.3.2.3.1: from memory, and its zero-shift row is one-sided while the others are two-sided.
test('the NIST table mixes one-sided and two-sided rows (from memory)', () => {
  near(number(cusumRunLengthOneSided({ k: 0.5, h: 4, shift: 0 })), 336, 0.01, 0);
  near(number(cusumRunLengthOneSided({ k: 0.5, h: 5, shift: 0 })), 930, 0.01, 0);
  near(number(cusumRunLength({ k: 0.5, h: 4, shift: 0.25 })), 74.2, 0.01, 0);
  near(number(cusumRunLength({ k: 0.5, h: 5, shift: 0.25 })), 140, 0.01, 0);
});

// Lucas & Saccucci, Technometrics 32 (1990), Table 3, as printed in CRAN spc, xewma.arl examples: fixed limits.
const SHIFTS = [0, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 3.5, 4, 5];
test.each([
  [0.5, 3.071, [500, 255, 88.8, 35.9, 17.5, 6.53, 3.63, 2.5, 1.93, 1.58, 1.34, 1.07]],
  [0.03, 2.437, [500, 76.7, 29.3, 17.6, 12.6, 8.07, 5.99, 4.8, 4.03, 3.49, 3.11, 2.55]],
])('EWMA λ %f, L %f (Lucas & Saccucci 1990)', (lambda, width, lengths) => {
  SHIFTS.forEach((shift, i) => {
    near(number(ewmaRunLength({ lambda, width, shift })), lengths[i]!, 0.005, 0.005);
  });
});

// Crowder, Technometrics 29 (1987), Table 1, as printed in CRAN spc. λ 0.5, shift 1.25 is printed 3.95, a misprint: it is 3.59.
test.each([
  [
    0.5,
    [26.45, 20.12, 11.89, 7.29, 4.91, null, 2.8, 2.29, 1.94, 1.7, 1.51, 1.37, 1.26, 1.18, 1.12, 1.08, 1.05],
  ],
  [
    0.05,
    [
      127.53, 43.94, 18.97, 11.64, 8.38, 6.56, 5.41, 4.62, 4.04, 3.61, 3.26, 2.99, 2.76, 2.56, 2.39, 2.26,
      2.15,
    ],
  ],
])('EWMA λ %f, L 2 (Crowder 1987)', (lambda, lengths) => {
  lengths.forEach((length, i) => {
    const got = number(ewmaRunLength({ lambda, width: 2, shift: i / 4 }));
    near(got, length ?? 3.59, 0, 0.01);
  });
});

// SAS/QC manual 1999, as printed in CRAN spc.
test('EWMA λ 0.25, L 3, shift 1: 11.154267016 (SAS/QC manual 1999)', () => {
  near(number(ewmaRunLength({ lambda: 0.25, width: 3, shift: 1 })), 11.154267016, 0, 1e-7);
});

// Montgomery, ISQC, Table 9.11: from memory (self-consistency).
test.each([
  [0.4, 3.054, [500, 224, 71.2, 28.4, 14.3, 5.9, 3.5, 2.5, 2.0, 1.4]],
  [0.25, 2.998, [500, 170, 48.2, 20.1, 11.1, 5.5, 3.6, 2.7, 2.3, 1.7]],
  [0.2, 2.962, [500, 150, 41.8, 18.2, 10.5, 5.5, 3.7, 2.9, 2.4, 1.9]],
  [0.1, 2.814, [500, 106, 31.3, 15.9, 10.3, 6.1, 4.4, 3.4, 2.9, 2.2]],
  [0.05, 2.615, [500, 84.1, 28.8, 16.4, 11.4, 7.1, 5.2, 4.2, 3.5, 2.7]],
])('EWMA λ %f, L %f (from memory)', (lambda, width, lengths) => {
  [0, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4].forEach((shift, i) => {
    near(number(ewmaRunLength({ lambda, width, shift })), lengths[i]!, 0.005, 0.06);
  });
});

// Derived: recomputed apart from here by the same equation.
test.each([
  [0.3, 3, 465.55, 11.699],
  [0.2, 3, 559.87, 10.836],
  [0.1, 2.7, 368.99, 9.73],
  [0.2, 2.859, 370.04, 9.795],
])('EWMA λ %f, L %f: %f in control, %f at one σ (derived)', (lambda, width, still, one) => {
  near(number(ewmaRunLength({ lambda, width, shift: 0 })), still, 0, 0.01);
  near(number(ewmaRunLength({ lambda, width, shift: 1 })), one, 0, 0.01);
});

test('a λ of 1 is a Shewhart chart: 370.4 at 3 σ (1/0.0027, normal table)', () => {
  near(number(ewmaRunLength({ lambda: 1, width: 3, shift: 0 })), 370.398, 0, 0.01);
});

test('mirror shifts have the same run length', () => {
  for (const shift of [0.3, 1.7]) {
    near(
      number(cusumRunLength({ k: 1, h: 5, shift })),
      number(cusumRunLength({ k: 1, h: 5, shift: -shift })),
      1e-9,
      0,
    );
  }
});

test('what the settings screen says of k 1, h 5 and of k 0.5, h 4 on five channels of 67 windows (derived)', () => {
  const calls = (k: number, h: number): { perPass: number; onePassIn: number } => {
    const answer = falseCalls({
      runLengthInControl: number(cusumRunLength({ k, h, shift: 0 })),
      windowsPerPass: 67,
      channels: 5,
    });
    if (answer.kind !== 'value') throw new Error(answer.text);
    return answer.value;
  };
  expect(calls(1, 5).onePassIn).toBeGreaterThan(100);
  // 67 windows on five channels at a run length of 168: nearly two expected calls a pass, so almost every pass.
  expect(calls(0.5, 4).perPass).toBeGreaterThan(0.8);
});

test('outside the range the range is the answer', () => {
  expect(cusumRunLength({ k: -1, h: 5, shift: 0 })).toMatchObject({ name: 'reference value k' });
  expect(cusumRunLength({ k: 1, h: 0, shift: 0 })).toMatchObject({ name: 'decision interval h' });
  expect(cusumRunLength({ k: 1, h: 5, shift: 0, headStart: 6 })).toMatchObject({ name: 'head start' });
  expect(cusumRunLengthOneSided({ k: 5, h: 20, shift: 0 })).toMatchObject({ name: 'average run length' });
  expect(ewmaRunLength({ lambda: 0, width: 3, shift: 0 })).toMatchObject({ name: 'weight λ' });
  expect(falseCalls({ runLengthInControl: 0, windowsPerPass: 1, channels: 1 })).toMatchObject({
    name: 'average run length',
  });
});
