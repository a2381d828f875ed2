import { expect, test } from 'vitest';
import {
  circumferentialPosition,
  positionUncertaintyMm,
  travelAtWeld,
} from '#core/position/circumferential-position';
import { clockPosition, clockText, degreesOfClock, inClockZone } from '#core/position/clock-position';
import { closure } from '#core/position/closure';

// The o'clock convention looking downstream: common practice, no source.
test.each([
  [0, 12],
  [360, 12],
  [-360, 12],
  [90, 3],
  [180, 6],
  [270, 9],
  [-30, 11],
  [-1e-15, 12],
  [735, 0.5],
])('%f° is %f o’clock', (degrees, clock) => {
  expect(clockPosition(degrees)).toBeCloseTo(clock, 9);
});

test.each([
  [12, '12:00'],
  [0.5, '12:30'],
  [3, '3:00'],
  [4.5, '4:30'],
  [11.9999, '12:00'],
  [5.99, '5:59'],
])('%f is written %s', (clock, text) => {
  expect(clockText(clock)).toBe(text);
});

test('zones read clockwise, across the top too', () => {
  expect(inClockZone(6, { from: 4, to: 8 })).toBe(true);
  expect(inClockZone(12, { from: 4, to: 8 })).toBe(false);
  expect(inClockZone(12, { from: 10, to: 2 })).toBe(true);
  expect(inClockZone(11, { from: 10, to: 2 })).toBe(true);
  expect(inClockZone(6, { from: 10, to: 2 })).toBe(false);
  expect(inClockZone(7.7, { from: 12, to: 12 })).toBe(true);
  expect(degreesOfClock(12)).toBe(0);
  expect(degreesOfClock(4.5)).toBe(135);
});

test('side B runs clockwise and side A against: half way down both are at their own 3 and 9', () => {
  const quarter = (Math.PI * 610) / 4;
  const at = { alongMm: quarter, startDegrees: 0, outsideDiameterMm: 610 };
  expect(circumferentialPosition({ ...at, side: 'B' }).clock).toBeCloseTo(3, 9);
  expect(circumferentialPosition({ ...at, side: 'A' }).clock).toBeCloseTo(9, 9);
  expect(circumferentialPosition({ ...at, side: 'A' }).circumferentialMm).toBeCloseTo(3 * quarter, 9);
  expect(circumferentialPosition({ ...at, side: 'A', sense: 1 }).clock).toBeCloseTo(3, 9);
});

// Geometry, derived: 1 mm is 0.107° on 1067 mm; an hour of the clock is 279 mm on 1067 and 160 mm on 610.
test('one millimetre and one hour of the clock', () => {
  const one = circumferentialPosition({ alongMm: 1, side: 'B', startDegrees: 0, outsideDiameterMm: 1067 });
  expect(one.degrees).toBeCloseTo(0.107, 3);
  expect(one.circumferentialMm).toBeCloseTo(1, 9);
  for (const [diameter, mm] of [
    [1067, 279],
    [610, 160],
  ] as const) {
    const hour = circumferentialPosition({
      alongMm: 0,
      side: 'B',
      startDegrees: 30,
      outsideDiameterMm: diameter,
    });
    expect(Math.round(hour.circumferentialMm)).toBe(mm);
  }
});

// Geometry, derived: a band 20 mm off the surface.
test.each([
  [1067, 3.7],
  [610, 6.6],
  [324, 12],
])('on %i mm pipe a band 20 mm off reads %f %% fast', (diameter, percent) => {
  const weld = travelAtWeld(1, diameter / 2, diameter / 2 + 20);
  expect(Math.abs((1 / weld - 1) * 100 - percent)).toBeLessThan(0.4);
});

test('the position uncertainty grows by the whole of an unobserved stretch', () => {
  expect(
    positionUncertaintyMm({ zeroMm: 6, alongMm: 400, travelRelative: 0.02, unobservedMm: 0 }),
  ).toBeCloseTo(10, 9);
  expect(
    positionUncertaintyMm({ zeroMm: 6, alongMm: 400, travelRelative: 0.02, unobservedMm: 15 }),
  ).toBeCloseTo(25, 9);
});

const circumference = Math.PI * 610;
const half = circumference / 2;
const sides = { overlapsMm: 20, outsideDiameterMm: 610, travelRelative: 0.005 };

test('sides that meet close (thresholds: common practice, no source)', () => {
  const closed = closure({ sideAMm: half + 10, sideBMm: half + 10, ...sides });
  expect(closed).toMatchObject({ kind: 'value', value: { finding: 'closed' } });
  if (closed.kind === 'value') {
    expect(closed.value.error).toBeCloseTo(0, 9);
    expect(closed.value.uncertainty).toBeCloseTo(Math.hypot(0.01, 20 / circumference), 12);
  }
});

test.each([
  [0.02, 'look'],
  [-0.02, 'look'],
  [0.05, 'suspect'],
  [-0.05, 'suspect'],
  [0.009, 'closed'],
])('a closure error of %f is %s', (error, finding) => {
  const got = closure({ sideAMm: half + 20 + error * circumference, sideBMm: half, ...sides });
  expect(got).toMatchObject({ kind: 'value', value: { finding, error: expect.closeTo(error, 9) } });
});

test('poor travel widens what is called suspect', () => {
  const got = closure({
    sideAMm: half + 20 + 0.05 * circumference,
    sideBMm: half,
    ...sides,
    travelRelative: 0.02,
  });
  expect(got).toMatchObject({ value: { finding: 'look' } });
});

test('no pipe, no closure', () => {
  expect(closure({ sideAMm: 1, sideBMm: 1, ...sides, outsideDiameterMm: 0 })).toMatchObject({
    kind: 'outOfRange',
    name: 'outside diameter',
  });
});
