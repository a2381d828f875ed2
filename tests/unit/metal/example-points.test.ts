import { expect, test } from 'vitest';
import { arcEnergyFromMeans } from '#core/energy/arc-energy';
import { capAreaMm2, compoundGroove } from '#core/metal/bevels';
import {
  burnOffCurrent,
  burnOffFeed,
  burnOffOf,
  currentPerStickOut,
  stickOutIndex,
} from '#core/metal/burn-off';
import { depositAreaMm2 } from '#core/metal/deposit';
import { grooveAreaMm2, widthAt } from '#core/metal/groove';
import { wireMassKg } from '#core/metal/wire';

// The example points of the job (1.0 mm wire, deposition efficiency 0.96; tip distance 12 mm, root 11 mm), computed there from the same
// formulas: a consistency check to 1 %, not a procedure and not a published value.
const POINTS = [
  {
    name: 'root',
    currentA: 180,
    voltageV: 19.5,
    travel: 11.5,
    feed: 6.88,
    tip: 11,
    energy: 0.305,
    area: 7.5,
  },
  { name: 'hot', currentA: 255, voltageV: 24, travel: 17.5, feed: 11.46, tip: 12, energy: 0.35, area: 8.2 },
  { name: 'fill', currentA: 236, voltageV: 24, travel: 7.5, feed: 10.27, tip: 12, energy: 0.755, area: 17.2 },
  { name: 'cap', currentA: 185, voltageV: 21, travel: 5.5, feed: 7.35, tip: 12, energy: 0.706, area: 16.8 },
] as const;

const within = (got: number, expected: number, share = 0.01): void => {
  expect(Math.abs(got / expected - 1)).toBeLessThan(share);
};
const area = (point: (typeof POINTS)[number]): number => {
  const answer = depositAreaMm2({
    wireFeedMmPerS: (point.feed * 1000) / 60,
    travelMmPerS: point.travel,
    diameterMm: 1,
    efficiency: 0.96,
  });
  if (answer.kind !== 'value') throw new Error(answer.text);
  return answer.value;
};

for (const point of POINTS) {
  test(`${point.name}: arc energy, burn-off and deposit area agree to 1 % (derived)`, () => {
    const energy = arcEnergyFromMeans({
      voltageV: point.voltageV,
      currentA: point.currentA,
      travelMmPerS: point.travel,
    });
    if (energy.kind !== 'value') throw new Error(energy.text);
    within(energy.value, point.energy);
    within((burnOffFeed(burnOffOf(1), point.currentA, point.tip) * 60) / 1000, point.feed);
    within(burnOffCurrent(burnOffOf(1), (point.feed * 1000) / 60, point.tip), point.currentA);
    within(area(point), point.area);
  });
}

test('root, hot, three fills and cap put 84 mm² into the 85 mm² of a 15.9 mm wall (derived)', () => {
  const [root, hot, fill, cap] = POINTS;
  within(area(root) + area(hot) + 3 * area(fill) + area(cap), 84);
  const bevel = compoundGroove({
    wallMm: 15.9,
    gapMm: 0,
    rootFaceMm: 1.3,
    lowerAngleDegrees: 45,
    lowerHeightMm: 2.3,
    upperAngleDegrees: 5,
  });
  if (bevel.kind === 'invalid') throw new Error(bevel.text);
  const capOver = { grooveWidthMm: widthAt(bevel.groove, 15.9), overlapMm: 1.5, reinforcementMm: 1.5 };
  within(grooveAreaMm2(bevel.groove) + capAreaMm2(capOver), 85);
});

test('a 1067 mm joint in six passes: 20.3 min of arc a side, 12.2 MJ, 2.31 kg of wire (derived)', () => {
  const [root, hot, fill, cap] = POINTS;
  let minutes = 0;
  let megajoules = 0;
  let kilograms = 0;
  for (const point of [root, hot, fill, fill, fill, cap]) {
    const seconds = (Math.PI * 1067) / 2 / point.travel;
    minutes += seconds / 60;
    megajoules += (2 * seconds * point.voltageV * point.currentA) / 1e6;
    kilograms += 2 * wireMassKg((seconds * point.feed * 1000) / 60, 1);
  }
  within(minutes, 20.3);
  within(megajoules, 12.2);
  within(kilograms, 2.31);
});

// Typical 1.2 mm values of the pulsed-MIG literature (Allum & Quintino; Amin; after Lesnewich, Welding Journal 1958): from memory.
test('1.2 mm wire, 250 A, 15 mm: 121.875 mm/s (from memory)', () => {
  expect(burnOffFeed(burnOffOf(1.2), 250, 15)).toBeCloseTo(121.875, 9);
});

// The job's fault catalogue at 236 A, 12 mm (computed there, self-consistency).
test.each([
  [2, -4.4],
  [4, -8.3],
  [6, -11.6],
])('%i mm more stick-out at the same feed: current %f %% (derived)', (more, percent) => {
  const line = burnOffOf(1);
  const feed = burnOffFeed(line, 236, 12);
  const change = (burnOffCurrent(line, feed, 12 + more) / 236 - 1) * 100;
  expect(Math.abs(change - percent)).toBeLessThan(0.2);
  const index = stickOutIndex({
    wireFeedMmPerS: feed,
    currentA: burnOffCurrent(line, feed, 12 + more),
    contactTipToWorkMm: 12,
    wireDiameterMm: 1,
  });
  expect(index).toEqual({
    kind: 'value',
    value: { currentResidual: expect.closeTo(change / 100, 9), impliedMm: expect.closeTo(12 + more, 6) },
  });
});

test('10 % wire slip, feed read at the motor: current −7.3 %; the wrong wire: +44 % and −31 % (derived)', () => {
  const line = burnOffOf(1);
  const feed = burnOffFeed(line, 236, 12);
  expect((burnOffCurrent(line, feed * 0.9, 12) / 236 - 1) * 100).toBeCloseTo(-7.3, 0);
  // 1.2 mm wire where 1.0 was meant, and the other way round, each at a fill's feed.
  expect((burnOffCurrent(burnOffOf(1.2), feed, 12) / 236 - 1) * 100).toBeCloseTo(44, 0);
  const thick = burnOffFeed(burnOffOf(1.2), 236, 12);
  expect((burnOffCurrent(line, thick, 12) / 236 - 1) * 100).toBeCloseTo(-31, 0);
});

test('dI/dL is the slope of the burn-off line', () => {
  const line = burnOffOf(1);
  const feed = burnOffFeed(line, 236, 12);
  const slope = (burnOffCurrent(line, feed, 12.001) - burnOffCurrent(line, feed, 11.999)) / 0.002;
  expect(currentPerStickOut(line, 236, 12)).toBeCloseTo(slope, 5);
});

test('too much current for any stick-out has no distance; no current is out of range', () => {
  const input = { wireFeedMmPerS: 10, currentA: 400, contactTipToWorkMm: 12, wireDiameterMm: 1 };
  expect(stickOutIndex(input)).toMatchObject({ value: { impliedMm: null } });
  expect(stickOutIndex({ ...input, currentA: 0 })).toMatchObject({
    kind: 'outOfRange',
    name: 'welding current',
  });
});
