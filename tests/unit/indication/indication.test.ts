import { describe, expect, it } from 'vitest';
import { alongSide, lookedAt, stretchOfSide, under } from '#core/indication/covered';
import type { ScanFrame } from '#core/indication/indication';
import { readIndicationTable } from '#core/indication/indication-table';
import { layerDepths, sharesDepth } from '#core/indication/layer-depth';
import { indicationPlace, overlaps, widened } from '#core/indication/place';
import { compoundGroove } from '#core/metal/bevels';

const FRAME: ScanFrame = {
  zeroDegrees: 0,
  sense: 'clockwise',
  referenceDiameterMm: null,
  zeroUncertaintyMm: 10,
};
const call = (position: number, unit: 'mm' | 'degrees' | 'clock', lengthMm = 15) => ({
  position,
  unit,
  lengthMm,
});

describe('where an indication lies', () => {
  // Geometry: 1 mm is 360/(π·1067)° = 0.107°; one hour of the clock is π·D/12: 279 mm at 1067 mm, 160 mm at 610 mm.
  it('counts millimetres along the outside', () => {
    const place = indicationPlace(call(1, 'mm', 0), FRAME, 1067);
    expect(place.fromDegrees).toBeCloseTo(0.107, 3);
    expect(indicationPlace(call((Math.PI * 610) / 12, 'mm'), FRAME, 610).fromClock).toBeCloseTo(1, 9);
    expect(indicationPlace(call(3, 'clock'), FRAME, 1067).fromMm).toBeCloseTo(3 * 279.3, 0);
    expect(indicationPlace(call(90, 'degrees'), FRAME, 610).fromClock).toBe(3);
  });

  it('follows the scan’s own zero, sense and reference diameter', () => {
    const other: ScanFrame = { ...FRAME, zeroDegrees: 180, sense: 'counterClockwise' };
    // A quarter against the clock from 6 is 3 o'clock; the indication goes on against the clock.
    const place = indicationPlace(call(90, 'degrees', (Math.PI * 610) / 12), other, 610);
    expect(place.toClock).toBeCloseTo(3, 9);
    expect(place.fromClock).toBeCloseTo(2, 9);
    // Millimetres on the inside of a wall of 15.9 mm reach further around: 610/(610 − 31.8).
    const inside = { ...FRAME, referenceDiameterMm: 610 - 31.8 };
    expect(
      indicationPlace(call(100, 'mm'), inside, 610).fromMm /
        indicationPlace(call(100, 'mm'), FRAME, 610).fromMm,
    ).toBeCloseTo(610 / 578.2, 9);
  });

  it('one over 12 o’clock is one stretch', () => {
    const place = indicationPlace(call(-10, 'mm', 20), FRAME, 610);
    expect(place.fromClock).toBeGreaterThan(11.9);
    expect(place.toClock).toBeLessThan(0.1);
    expect(overlaps(place, { fromDegrees: 359, spanDegrees: 0.5 })).toBe(true);
    expect(overlaps(place, { fromDegrees: 1, spanDegrees: 0 })).toBe(true);
    expect(overlaps(place, { fromDegrees: 90, spanDegrees: 10 })).toBe(false);
    expect(overlaps({ fromDegrees: 0, spanDegrees: 10 }, widened(place, 400))).toBe(true);
  });
});

describe('what lies under it', () => {
  const b = { side: 'B' as const, startDegrees: 0, outsideDiameterMm: 610, uncertaintyMm: 0 };
  const a = { ...b, side: 'A' as const };
  const half = (Math.PI * 610) / 2;

  it('reads a stretch back along either side', () => {
    for (const frame of [a, b]) {
      const { fromMm, toMm } = alongSide(frame, stretchOfSide(frame, 180, 195));
      expect(fromMm).toBeCloseTo(180, 9);
      expect(toMm).toBeCloseTo(195, 9);
      // A little before the start of the side, and past 6 o'clock.
      expect(alongSide(frame, stretchOfSide(frame, -30, -10)).fromMm).toBeCloseTo(-30, 9);
      expect(alongSide(frame, stretchOfSide(frame, half, half + 20)).toMm).toBeCloseTo(half + 20, 9);
    }
  });

  it('side B runs with the clock, side A against it', () => {
    expect(stretchOfSide(b, 0, half / 2)).toMatchObject({ fromDegrees: 0 });
    expect(stretchOfSide(a, 0, half / 2).fromDegrees).toBeCloseTo(270, 9);
    expect(stretchOfSide(a, 0, half / 2).spanDegrees).toBeCloseTo(90, 9);
  });

  it('windows, stops and events within the uncertainty of both, and nothing else', () => {
    // 3 o'clock is half way down side B.
    const place = indicationPlace(call(3, 'clock', 15), { ...FRAME, zeroUncertaintyMm: 0 }, 610);
    const windows = Array.from({ length: 38 }, (_, i) => ({ fromMm: i * 25, toMm: (i + 1) * 25 }));
    const stretch = lookedAt(place, b, 0);
    // 479.1 to 494.1 mm: one window of 25 mm.
    expect(under(windows, stretch, b).map(({ fromMm }) => fromMm)).toEqual([475]);
    expect(under(windows, stretch, a)).toEqual([]);
    // ± 25 mm and 2 × 5 mm of the side's own: 444 to 529 mm.
    const wide = lookedAt(place, { ...b, uncertaintyMm: 5 });
    expect(under(windows, wide, b).map(({ fromMm }) => fromMm)).toEqual([425, 450, 475, 500, 525]);
    expect(under([{ fromMm: null, toMm: null }], wide, b)).toEqual([]);
  });
});

describe('how deep each layer lies', () => {
  // 15.9 mm wall, root face 1.3, 45° for 2.3 mm, then 5°: 85 mm² take root 7.5, hot 8.2, three fills of 17.2 and a cap
  // of 16.8 mm² (worked example, recomputed from the bevel's geometry).
  const made = compoundGroove({
    wallMm: 15.9,
    rootFaceMm: 1.3,
    gapMm: 0,
    lowerAngleDegrees: 45,
    lowerHeightMm: 2.3,
    upperAngleDegrees: 5,
  });
  const groove = made.kind === 'groove' ? made.groove : null;

  it('from the root up, without a gap, to the outside', () => {
    const layers = layerDepths(groove!, [7.5, 8.2, 17.2, 17.2, 17.2, 16.8]);
    expect(layers[0]?.bottomMm).toBeCloseTo(15.9, 9);
    for (let i = 1; i < layers.length; i++) expect(layers[i]?.bottomMm).toBe(layers[i - 1]?.topMm);
    expect(Math.abs(layers[5]!.topMm)).toBeLessThan(2);
    expect(sharesDepth(layers[3]!, { depthMm: layers[3]!.topMm + 0.5, heightMm: 1 }, 0)).toBe(true);
    expect(sharesDepth(layers[0]!, { depthMm: 4, heightMm: 1 }, 1)).toBe(false);
  });

  it('a layer whose deposit is unknown leaves it and those above unknown, and excludes nothing', () => {
    const layers = layerDepths(groove!, [7.5, null, 17.2]);
    expect(layers.slice(1)).toEqual([null, null]);
    expect(sharesDepth(null, { depthMm: 1, heightMm: null }, 0)).toBe(true);
    expect(sharesDepth(layers[0]!, { depthMm: null, heightMm: null }, 0)).toBe(true);
  });
});

describe('indications from a table', () => {
  const HEAD = ['label', 'type', 'position', 'unit', 'length_mm', 'depth_mm', 'height_mm'];

  it('read by column name; empty is not given, never zero', () => {
    const read = readIndicationTable([HEAD, ['7', 'lack of fusion', '1240', 'mm', '15', '4', '']]);
    expect(read).toMatchObject({
      ok: true,
      indications: [{ label: '7', position: 1240, unit: 'mm', lengthMm: 15, depthMm: 4, heightMm: null }],
    });
  });

  it('with decimal commas, and signs that a spreadsheet was kept from reading as a formula', () => {
    const read = readIndicationTable([HEAD, ['a', 'x', "'-12,5", 'degrees', '3,5', '', '']], true);
    expect(read).toMatchObject({ ok: true, indications: [{ position: -12.5, lengthMm: 3.5 }] });
  });

  // Half past four is 4.5 hours of the clock: arithmetic.
  it('with a place by the clock in hours and minutes, and in no other unit', () => {
    const read = readIndicationTable([HEAD, ['1', 'x', '4:30', 'clock', '15', '', '']]);
    expect(read).toMatchObject({ ok: true, indications: [{ position: 4.5, unit: 'clock' }] });
    expect(readIndicationTable([HEAD, ['1', 'x', '4:30', 'mm', '15', '', '']]).ok).toBe(false);
  });

  it.each([
    [[], 'The table is empty'],
    [[['label', 'type']], 'Column "position" is missing'],
    [[[...HEAD, 'colour'], []], 'Column "colour" is not known'],
    [[HEAD], 'no row besides'],
    [[HEAD, ['1', 'x', 'here', 'mm', '1', '', '']], 'Row 2, position: "here" is not a number.'],
    [[HEAD, ['1', 'x', '1', 'mm', '1', 'ca 4', '']], 'Row 2, depth_mm: "ca 4" is not a number.'],
    [[HEAD, ['1', 'x', '1', 'feet', '1', '', '']], 'Row 2, unit'],
    [
      [HEAD, ['1', 'x', '1', 'mm', '1', '', ''], ['1', 'x', '2', 'mm', '1', '', '']],
      'Row 3: the label "1" stands twice.',
    ],
  ])('refused in one sentence that names where: %#', (rows, words) => {
    const read = readIndicationTable(rows as string[][]);
    expect(read.ok ? '' : read.problem).toContain(words);
  });
});
