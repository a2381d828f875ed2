import { expect, test } from 'vitest';
import type { Answer } from '#core/calculations/answer';
import { carbonEquivalentIiw, carbonEquivalentZ662, cet, pcm } from '#core/thermal/carbon-equivalent';
import { designCet, HYDROGEN_SCALES, preheatMethodB } from '#core/thermal/preheat';

const number = (answer: Answer): number => {
  if (answer.kind !== 'value') throw new Error(answer.text);
  return answer.value;
};

// EN 1011-2 Annex C (CE, CET); Ito & Bessyo IIW IX-576-68 (Pcm); CSA Z662: each element's share, one at a time, from the printed formulas.
const base = { C: 0.1, Mn: 1 };
const shares = [
  ['Mn', 1 / 6, 1 / 20, 1 / 10, 1 / 6],
  ['Si', 0, 1 / 30, 0, 1 / 24],
  ['Cr', 1 / 5, 1 / 20, 1 / 20, 1 / 5],
  ['Cu', 1 / 15, 1 / 20, 1 / 20, 1 / 15],
  ['Mo', 1 / 5, 1 / 15, 1 / 10, 1 / 5],
  ['Ni', 1 / 15, 1 / 60, 1 / 40, 1 / 20],
  ['V', 1 / 5, 1 / 10, 0, 1 / 5],
  ['Nb', 0, 0, 0, 1 / 5],
  ['C', 1, 1, 1, 1],
] as const;
for (const [element, iiw, ito, en, csa] of shares) {
  test(`${element} counts as printed in CE(IIW), Pcm, CET and CE(Z662) (EN 1011-2 Annex C; IIW IX-576-68; CSA Z662)`, () => {
    const more = { ...base, [element]: (base[element as 'C'] ?? 0) + 0.02 };
    expect(number(carbonEquivalentIiw(more)) - number(carbonEquivalentIiw(base))).toBeCloseTo(0.02 * iiw, 12);
    expect(number(pcm(more)) - number(pcm(base))).toBeCloseTo(0.02 * ito, 12);
    expect(number(cet(more)) - number(cet(base))).toBeCloseTo(0.02 * en, 12);
    expect(number(carbonEquivalentZ662(more, 1)) - number(carbonEquivalentZ662(base, 1))).toBeCloseTo(
      0.02 * csa,
      12,
    );
  });
}
test('boron counts five times in Pcm and Z662 (IIW IX-576-68; CSA Z662)', () => {
  const boron = { ...base, B: 0.001 };
  expect(number(pcm(boron)) - number(pcm(base))).toBeCloseTo(0.005, 12);
  expect(number(carbonEquivalentZ662(boron, 0.5)) - number(carbonEquivalentZ662(base, 0.5))).toBeCloseTo(
    0.0025,
    12,
  );
});

// Worked sheet "CSA Z662, April 1999 Method to determine carbon equivalence".
test('a worked Z662 composition is 0.5077833333', () => {
  const steel = {
    C: 0.25,
    Mn: 1.28,
    Si: 0.29,
    Cu: 0.109,
    Ni: 0.06,
    Cr: 0.05,
    Mo: 0.034,
    V: 0.004,
    B: 0.0009,
  };
  expect(number(carbonEquivalentZ662({ ...steel, Nb: 0 }, 1))).toBeCloseTo(0.5077833333, 9);
});

// EN 1011-2 inputs as used in a public worked example; answers worked out apart (self-consistency).
test('CE(IIW) 0.55 and Pcm 0.2036666667 (answers derived)', () => {
  expect(
    number(carbonEquivalentIiw({ C: 0.2, Mn: 1, Cr: 0.5, Mo: 0.2, V: 0.05, Ni: 0.3, Cu: 0.2 })),
  ).toBeCloseTo(0.55, 9);
  const steel = { C: 0.1, Si: 0.3, Mn: 1, Cu: 0.2, Cr: 0.3, Ni: 0.3, Mo: 0.1, V: 0.02, B: 0.001 };
  expect(number(pcm(steel))).toBeCloseTo(0.2036666667, 9);
});

test('outside the contents a formula holds for', () => {
  expect(pcm({ C: 0.2, Mn: 1 })).toMatchObject({
    kind: 'outOfRange',
    text: 'content of C 0.2 % is out of range: 0 to 0.18 %',
  });
  expect(cet({ C: 0.04, Mn: 1 })).toMatchObject({
    text: 'content of C 0.04 % is out of range: 0.05 to 0.32 %',
  });
  expect(cet({ C: 0.1, Mn: 2 })).toMatchObject({ text: 'content of Mn 2 % is out of range: 0.5 to 1.9 %' });
  expect(carbonEquivalentIiw({ C: -0.1 })).toMatchObject({ name: 'content of C' });
  expect(carbonEquivalentIiw({ C: 0.1, Mn: Number.NaN })).toMatchObject({
    text: 'content of Mn is not a finite number',
  });
  expect(carbonEquivalentZ662(base, 0)).toMatchObject({ name: 'compliance factor' });
});

const preheat = (
  cetPercent: number,
  thicknessMm: number,
  hydrogenMlPer100g: number,
  heatInputKjPerMm: number,
): Answer => preheatMethodB({ cetPercent, thicknessMm, hydrogenMlPer100g, heatInputKjPerMm });

// EN 1011-2:2001+A1:2003 Annex C.3 method B, Eq. (C.8) and its parts (C.3)–(C.6).
test('the four parts sum to the single formula (EN 1011-2 Annex C.3)', () => {
  for (const [c, d, h, q] of [
    [0.2, 10, 1, 0.5],
    [0.35, 20, 5, 1.5],
    [0.5, 90, 20, 4],
  ] as const) {
    const single = 697 * c + 160 * Math.tanh(d / 35) + 62 * h ** 0.35 + (53 * c - 32) * q - 328;
    expect(number(preheat(c, d, h, q))).toBeCloseTo(single, 9);
    const parts =
      750 * c -
      150 +
      (160 * Math.tanh(d / 35) - 110) +
      (62 * h ** 0.35 - 100) +
      ((53 * c - 32) * q - 53 * c + 32);
    expect(number(preheat(c, d, h, q))).toBeCloseTo(parts, 9);
  }
});

test('two preheats (inputs of public worked examples, answers derived)', () => {
  expect(number(preheat(0.35, 20, 5, 1.5))).toBeCloseTo(87.3011, 3);
  expect(Math.abs(number(preheat(0.3, 20, 5, 1)) - 56.53)).toBeLessThan(0.005);
});

test('hydrogen scales B 10–15, C 5–10, D 3–5, E up to 3 ml/100 g (EN 1011-2 Annex C.3)', () => {
  expect(HYDROGEN_SCALES).toEqual({ B: 15, C: 10, D: 5, E: 3 });
});

test('design CET: weld metal + 0.03 unless the parent is at least 0.03 above (EN 1011-2 Annex C.3)', () => {
  expect(designCet(0.35, 0.3)).toBe(0.35);
  expect(designCet(0.3, 0.29)).toBeCloseTo(0.32, 12);
  expect(designCet(0.25, 0.3)).toBeCloseTo(0.33, 12);
});

test.each([
  [0.3, 20, 5, 0.35, 'heat input 0.35 kJ/mm is out of range: 0.5 to 4 kJ/mm'],
  [0.3, 9.5, 5, 1, 'thickness 9.5 mm is out of range: 10 to 90 mm'],
  [0.1, 20, 5, 1, 'CET 0.1 % is out of range: 0.2 to 0.5 %'],
  [0.3, 20, 25, 1, 'diffusible hydrogen 25 ml/100 g is out of range: 1 to 20 ml/100 g'],
])('method B says where it ends: %f %%, %f mm, %f ml/100 g, %f kJ/mm', (c, d, h, q, text) => {
  expect(preheat(c, d, h, q)).toMatchObject({ kind: 'outOfRange', text });
});
