import { expect, test } from 'vitest';
import { compoundGroove } from '#core/metal/bevels';
import { FillMap } from '#core/metal/fill-map';
import { areaBelow, type Groove } from '#core/metal/groove';

const result = compoundGroove({
  wallMm: 15.9,
  gapMm: 0,
  rootFaceMm: 1.3,
  lowerAngleDegrees: 45,
  lowerHeightMm: 2.3,
  upperAngleDegrees: 5,
});
if (result.kind === 'invalid') throw new Error(result.text);
const groove: Groove = result.groove;
const wanted = areaBelow(groove, 14.9);
const circumference = Math.PI * 610;

test('metal laid evenly all round is flush to the allowance everywhere', () => {
  const map = new FillMap(groove, 610);
  map.deposit(0, circumference / 2, (wanted * circumference) / 2);
  map.deposit(0, -circumference / 2, (wanted * circumference) / 2);
  expect(map.volumeMm3()).toBeCloseTo(wanted * circumference, 4);
  expect(map.heightAt(0)).toBeCloseTo(14.9, 6);
  expect(map.heightAt(circumference * 0.77)).toBeCloseTo(14.9, 6);
  expect(map.underfill(1)).toEqual([]);
});

test('a fast stretch is named with its place and its least share', () => {
  const map = new FillMap(groove, 610, 5);
  map.deposit(0, 500, wanted * 500);
  map.deposit(500, 100, wanted * 100 * 0.8);
  map.deposit(600, circumference - 600, wanted * (circumference - 600));
  const [found, ...others] = map.underfill(1);
  expect(others).toEqual([]);
  expect(Math.abs(found!.fromMm - 500)).toBeLessThanOrEqual(map.binMm);
  expect(Math.abs(found!.toMm - 600)).toBeLessThanOrEqual(map.binMm);
  expect(found!.leastShare).toBeCloseTo(0.8, 6);
});

test('a stretch across 12 o’clock is one stretch; several are several', () => {
  const map = new FillMap(groove, 610, 5);
  map.deposit(50, 700, wanted * 700);
  map.deposit(800, circumference - 850, wanted * (circumference - 850));
  const found = map.underfill(1);
  expect(found).toHaveLength(2);
  expect(Math.abs(found[0]!.fromMm - 750)).toBeLessThan(6);
  expect(found[1]!.fromMm).toBeGreaterThan(found[1]!.toMm);
  expect(found[1]!.leastShare).toBe(0);
});

test('nothing laid down is underfilled all round', () => {
  expect(new FillMap(groove, 610).underfill(1)).toEqual([{ fromMm: 0, toMm: circumference, leastShare: 0 }]);
});

test('what was not observed is not called underfilled', () => {
  const map = new FillMap(groove, 610, 5);
  map.deposit(0, 700, wanted * 700);
  map.markUnobserved(700, 100);
  map.deposit(800, circumference - 800, wanted * (circumference - 800));
  expect(map.underfill(1)).toEqual([]);
});

test('a standing arc puts its metal in one place', () => {
  const map = new FillMap(groove, 610, 5);
  map.deposit(-3, 0, 100);
  expect(map.volumeMm3()).toBeCloseTo(100, 9);
  expect(map.areaMm2.at(-1)).toBeGreaterThan(0);
});
