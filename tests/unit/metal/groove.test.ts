import { expect, test } from 'vitest';
import { capAreaMm2, compoundGroove, jGroove, vGroove } from '#core/metal/bevels';
import {
  areaBelow,
  fillHeight,
  type Groove,
  type GrooveResult,
  grooveAreaMm2,
  grooveFromPoints,
  layerRise,
  remainingAreaMm2,
  wallOf,
  widthAt,
} from '#core/metal/groove';

const made = (result: GrooveResult): Groove => {
  if (result.kind === 'invalid') throw new Error(result.text);
  return result.groove;
};
const compound = (wallMm: number): Groove =>
  made(
    compoundGroove({
      wallMm,
      gapMm: 0,
      rootFaceMm: 1.3,
      lowerAngleDegrees: 45,
      lowerHeightMm: 2.3,
      upperAngleDegrees: 5,
    }),
  );

// The job's example compound bevel: total metal with the cap, computed there; a cap 1.5 mm high and 1.5 mm over each edge is this
// test's reading of it. A consistency check to 1 %.
test.each([
  [9.5, 44],
  [12.7, 64],
  [15.9, 85],
  [19.1, 108],
  [25.4, 159],
])('compound bevel in a %f mm wall takes %i mm² with its cap (derived)', (wall, total) => {
  const groove = compound(wall);
  const cap = capAreaMm2({ grooveWidthMm: widthAt(groove, wall), overlapMm: 1.5, reinforcementMm: 1.5 });
  expect(Math.abs((grooveAreaMm2(groove) + cap) / total - 1)).toBeLessThan(0.01);
});

test('V groove: area = gap·t + (t − face)²·tan α (geometry)', () => {
  const groove = made(vGroove({ wallMm: 12, gapMm: 2, rootFaceMm: 1.5, angleDegrees: 30 }));
  expect(grooveAreaMm2(groove)).toBeCloseTo(24 + 10.5 ** 2 * Math.tan(Math.PI / 6), 9);
  expect(widthAt(groove, 0.5)).toBe(2);
  expect(widthAt(groove, 12)).toBeCloseTo(2 + 2 * 10.5 * Math.tan(Math.PI / 6), 9);
});

test('J groove: arc and tangent bevel within 0.01 % of the closed form (geometry)', () => {
  const [wall, face, gap, radius, angle] = [16, 1.5, 0.5, 3.2, (5 * Math.PI) / 180];
  const groove = made(
    jGroove({ wallMm: wall, gapMm: gap, rootFaceMm: face, radiusMm: radius, angleDegrees: 5 }),
  );
  const end = Math.PI / 2 - angle;
  const arcHeight = radius * (1 - Math.cos(end));
  // ∫ 2·R·sin t dy with y = R(1 − cos t), dy = R·sin t dt.
  const arcArea = radius ** 2 * (end - Math.sin(end) * Math.cos(end));
  const rise = wall - face - arcHeight;
  const kneeWidth = 2 * radius * Math.sin(end);
  const area = gap * wall + arcArea + rise * (kneeWidth + rise * Math.tan(angle));
  expect(Math.abs(grooveAreaMm2(groove) / area - 1)).toBeLessThan(1e-4);
});

test('a wall thinner than the bevel cuts it off', () => {
  const groove = compound(2.3);
  expect(wallOf(groove)).toBe(2.3);
  expect(widthAt(groove, 2.3)).toBeCloseTo(2, 9);
  expect(grooveAreaMm2(groove)).toBeCloseTo(1, 9);
  expect(wallOf(made(jGroove({ wallMm: 2, gapMm: 0, rootFaceMm: 1, radiusMm: 3, angleDegrees: 5 })))).toBe(2);
});

test('filling: no metal stands on a closed root face, all of it at the wall', () => {
  const groove = compound(15.9);
  expect(fillHeight(groove, 0)).toBeCloseTo(1.3, 9);
  expect(fillHeight(groove, 5.29)).toBeCloseTo(3.6, 9);
  expect(fillHeight(groove, 500)).toBe(15.9);
  expect(areaBelow(groove, fillHeight(groove, 40))).toBeCloseTo(40, 9);
  expect(remainingAreaMm2(groove, 40)).toBeCloseTo(grooveAreaMm2(groove) - 40, 9);
  expect(remainingAreaMm2(groove, 500)).toBe(0);
  expect(remainingAreaMm2(groove, 0, 1)).toBeCloseTo(areaBelow(groove, 14.9), 9);
});

test('a layer rises by its area over the width there', () => {
  const groove = compound(15.9);
  const rise = layerRise(groove, 30, 17.2);
  const middle = widthAt(groove, fillHeight(groove, 30) + rise / 2);
  expect(rise).toBeCloseTo(17.2 / middle, 9);
});

test.each([
  [[], 'a groove needs at least two points'],
  [
    [
      { heightMm: 1, widthMm: 0 },
      { heightMm: 2, widthMm: 1 },
    ],
    'the first groove point must be at height 0 mm',
  ],
  [
    [
      { heightMm: 0, widthMm: 0 },
      { heightMm: 0, widthMm: 1 },
    ],
    'groove point 2: height 0 mm is not above 0 mm',
  ],
  [
    [
      { heightMm: 0, widthMm: -1 },
      { heightMm: 1, widthMm: 1 },
    ],
    'groove point 1: width -1 mm is negative',
  ],
  [
    [
      { heightMm: 0, widthMm: 0 },
      { heightMm: Number.NaN, widthMm: 1 },
    ],
    'groove point 2 is not a finite number',
  ],
])('bad points: %o', (points, text) => {
  expect(grooveFromPoints(points)).toEqual({ kind: 'invalid', text });
});

test('bad bevels are named', () => {
  expect(vGroove({ wallMm: 0, gapMm: 0, rootFaceMm: 0, angleDegrees: 30 })).toEqual({
    kind: 'invalid',
    text: 'wall thickness 0 mm is out of range: above 0 and up to 200 mm',
  });
  expect(vGroove({ wallMm: 10, gapMm: 0, rootFaceMm: 11, angleDegrees: 30 })).toMatchObject({
    text: 'root face 11 mm is out of range: 0 to 10 mm',
  });
  expect(vGroove({ wallMm: 10, gapMm: 0, rootFaceMm: 1, angleDegrees: 90 })).toMatchObject({
    text: 'bevel angle 90 ° is out of range: 0 to 80 °',
  });
});
