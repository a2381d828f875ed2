import { describe, expect, it } from 'vitest';
import {
  arcPath,
  CENTRE,
  pointAt,
  spanArc,
  spread,
  uncertaintyArc,
} from '../../../dashboard/web/charts/ring-geometry.ts';

// Closed forms of the circle: a clock face looking downstream, 12 on top, clockwise positive.
describe('places on the ring', () => {
  it.each([
    [0, CENTRE, CENTRE - 50],
    [90, CENTRE + 50, CENTRE],
    [180, CENTRE, CENTRE + 50],
    [270, CENTRE - 50, CENTRE],
    [30, CENTRE + 25, CENTRE - 50 * Math.cos(Math.PI / 6)],
  ])('%d° is where the clock has it', (degrees, x, y) => {
    const point = pointAt(50, degrees);
    expect(point.x).toBeCloseTo(x, 9);
    expect(point.y).toBeCloseTo(y, 9);
  });

  it('turns millimetres into angles: a quarter of the circumference is 90°', () => {
    const quarter = (Math.PI * 610) / 4;
    expect(spanArc('B', 0, quarter, 610)).toEqual({ fromDeg: 0, toDeg: 90 });
    expect(spanArc('A', 0, quarter, 610)).toEqual({ fromDeg: 270, toDeg: 360 });
  });

  it('one o’clock hour is 160 mm on 610 mm (job figures, computed: π·610/12 = 159.7)', () => {
    const { fromDeg, toDeg } = spanArc('B', 0, 159.7, 610);
    expect(toDeg - fromDeg).toBeCloseTo(30, 1);
  });

  it('takes a span either way round', () => {
    expect(spanArc('B', 200, 100, 610)).toEqual(spanArc('B', 100, 200, 610));
  });

  it('draws a small uncertainty wide enough to be seen, and a large one no wider than the pipe', () => {
    expect(uncertaintyArc(90, 0, 610)).toEqual({ fromDeg: 89, toDeg: 91 });
    expect(uncertaintyArc(90, 1e6, 610)).toEqual({ fromDeg: -90, toDeg: 270 });
  });

  it('draws arcs clockwise, a whole turn in two halves, nothing for nothing', () => {
    expect(arcPath(50, { fromDeg: 0, toDeg: 90 })).toBe('M120 70A50 50 0 0 1 170 120');
    expect(arcPath(50, { fromDeg: 0, toDeg: 270 })).toContain(' 0 1 1 ');
    expect(arcPath(50, { fromDeg: 0, toDeg: 360 }).split('M')).toHaveLength(3);
    expect(arcPath(50, { fromDeg: 5, toDeg: 5 })).toBe('');
  });

  it('keeps labels apart without changing their order', () => {
    expect(spread([10, 12, 100], 16)).toEqual([10, 26, 100]);
    expect(spread([12, 10], 16)).toEqual([26, 10]);
  });
});
