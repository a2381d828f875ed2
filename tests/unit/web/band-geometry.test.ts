import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bandGeometry, bandRange, HIGH_END, LOW_END } from '../../../dashboard/web/charts/band-geometry.ts';

const both = { min: 190, nominal: 235, max: 260 };

// Places are our own design (limits at 0.2 and 0.8 of every bar); the arithmetic is linear interpolation.
describe('a value against its band', () => {
  it('puts limits at the same places on every bar and the pointer in between by proportion', () => {
    const at = bandGeometry(both, 225);
    expect(at).toMatchObject({ offScale: null, state: 'inside' });
    expect(at.minMark).toBeCloseTo(LOW_END, 9);
    expect(at.maxMark).toBeCloseTo(HIGH_END, 9);
    expect(at.pointer).toBeCloseTo(0.5, 9);
    expect(at.target).toBeCloseTo(LOW_END + (45 / 70) * 0.6, 9);
  });

  it('shows a value beyond a limit beyond its mark, and stops at the end of the bar', () => {
    expect(bandGeometry(both, 262)).toMatchObject({ state: 'above', offScale: null });
    expect(bandGeometry(both, 262).pointer).toBeGreaterThan(HIGH_END);
    expect(bandGeometry(both, 900)).toMatchObject({ pointer: 1, offScale: 'high', state: 'above' });
    expect(bandGeometry(both, 0)).toMatchObject({ pointer: 0, offScale: 'low', state: 'below' });
  });

  it('leaves an open end open', () => {
    const upper = bandGeometry({ min: null, nominal: null, max: 1 }, 0.5);
    expect(upper).toMatchObject({ from: 0, to: HIGH_END, minMark: null, state: 'inside' });
    const lower = bandGeometry({ min: 100, nominal: null, max: null }, 90);
    expect(lower).toMatchObject({ from: LOW_END, to: 1, maxMark: null, state: 'below' });
  });

  it('knows an exact value, no limit, no scale and no value', () => {
    expect(bandGeometry({ min: 12, nominal: 12, max: 12 }, 12).pointer).toBeCloseTo(0.5, 9);
    expect(bandGeometry({ min: null, nominal: null, max: null }, 5)).toMatchObject({
      pointer: null,
      state: 'unknown',
    });
    expect(bandGeometry(both, null)).toMatchObject({ pointer: null, offScale: null, state: 'unknown' });
  });

  it('gives a trend the scale of its bar', () => {
    const range = bandRange(both)!;
    expect(bandGeometry(both, range.low).pointer).toBeCloseTo(0, 9);
    expect(bandGeometry(both, range.high).pointer).toBeCloseTo(1, 9);
  });

  it('is monotone, stays on the bar, and its pointer passes a mark exactly when the value passes the limit', () => {
    const value = fc.double({ min: -1e4, max: 1e4, noNaN: true });
    fc.assert(
      fc.property(value, value, fc.double({ min: 0.5, max: 1e3, noNaN: true }), (a, min, width) => {
        const band = { min, nominal: null, max: min + width };
        const geometry = bandGeometry(band, a);
        expect(geometry.pointer).toBeGreaterThanOrEqual(0);
        expect(geometry.pointer).toBeLessThanOrEqual(1);
        if (geometry.state === 'above') expect(geometry.pointer!).toBeGreaterThan(geometry.maxMark! - 1e-6);
        if (geometry.state === 'below') expect(geometry.pointer!).toBeLessThan(geometry.minMark! + 1e-6);
      }),
    );
  });
});
