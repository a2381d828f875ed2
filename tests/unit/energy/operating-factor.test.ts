import { expect, test } from 'vitest';
import { leadDrop } from '#core/energy/lead-drop';
import { arcTimeFor, operatingFactor } from '#core/energy/operating-factor';

test('arc time over elapsed (definition, common practice, no source)', () => {
  expect(operatingFactor(900, 3600)).toEqual({ kind: 'value', value: 0.25 });
  expect(operatingFactor(0, 10)).toEqual({ kind: 'value', value: 0 });
});

test('more arc than time, no time, negative time: named', () => {
  expect(operatingFactor(11, 10)).toMatchObject({ text: 'arc time 11 s is out of range: 0 to 10 s' });
  expect(operatingFactor(1, 0)).toMatchObject({ text: 'elapsed time 0 s is out of range: above 0 s' });
  expect(operatingFactor(-1, 10)).toMatchObject({ text: 'arc time -1 s is out of range: 0 s or more' });
});

// The job's example points: half-circumference arc times of 1067 and 610 mm pipe (computed there, a consistency check).
test.each([
  [1067, 11.5, 146],
  [1067, 17.5, 96],
  [1067, 7.5, 223],
  [1067, 5.5, 305],
  [610, 11.5, 83],
  [610, 17.5, 55],
  [610, 7.5, 128],
  [610, 5.5, 174],
])('half of %i mm pipe at %f mm/s takes %i s (derived)', (diameter, travel, seconds) => {
  const answer = arcTimeFor((Math.PI * diameter) / 2, travel);
  if (answer.kind !== 'value') throw new Error(answer.text);
  expect(Math.abs(answer.value - seconds)).toBeLessThan(0.51);
});

test('60 m of 95 mm² lead at 250 A drops 2.8 V, 12 % of a 24 V arc (derived)', () => {
  const answer = leadDrop({ currentA: 250, lengthM: 60, crossSectionMm2: 95 });
  if (answer.kind !== 'value') throw new Error(answer.text);
  expect(answer.value).toBeCloseTo(2.8, 1);
  expect(answer.value / 24).toBeCloseTo(0.12, 2);
});
