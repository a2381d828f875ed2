/** Time and place of a pass under review, against straight lines computed by hand. */
import { describe, expect, it } from 'vitest';
import {
  askedStretch,
  extentOf,
  type Placed,
  placeAt,
  placeMap,
  timeAt,
  windowAt,
} from '../../../dashboard/web/charts/place-map.ts';
import { reviewPass } from '../../support/test-review.ts';

const [window] = reviewPass(1, 'root', 'B').windows;
const at = (fromMm: number | null, toMm: number | null, fromS: number, toS: number) => ({
  ...{ ...window!, fromMm, toMm, fromS, toS },
});

/** 100 mm in 20 s, a stop of 30 s, 50 mm in 10 s, and 10 mm in 2 s that are too short for a window. */
const STOPPED: Placed = {
  windows: [at(0, 50, 0, 10), at(50, 100, 10, 20), at(100, 150, 50, 60)],
  message: { startUs: 0, endUs: 62e6, pass: { startPositionMm: 0, endPositionMm: 160 } },
};

describe('the place map of a pass', () => {
  const map = placeMap(STOPPED);

  it('is straight inside a window, both ways', () => {
    expect(placeAt(map, 5)).toBe(25);
    expect(timeAt(map, 25)).toBe(5);
    expect(placeAt(map, 55)).toBe(125);
  });

  it('stands still in a stop: every second of it is at the place where the arc stopped', () => {
    expect(placeAt(map, 35)).toBe(100);
    // The first time it stood there.
    expect(timeAt(map, 100)).toBe(20);
  });

  it('reaches the end of the pass, also where no window does', () => {
    expect(placeAt(map, 61)).toBe(155);
    expect(timeAt(map, 160)).toBe(62);
    expect(extentOf(map)).toEqual({ fromMm: 0, toMm: 160 });
    expect(placeAt(map, 63)).toBeNull();
    expect(timeAt(map, 161)).toBeNull();
  });

  it('a side that begins before its zero begins at negative mm', () => {
    const early = placeMap({
      ...STOPPED,
      message: { ...STOPPED.message, pass: { startPositionMm: -12, endPositionMm: 160 } },
      windows: [at(-8, 42, 1, 11)],
    });
    expect(placeAt(early, 0)).toBe(-12);
    expect(placeAt(early, 1)).toBe(-8);
    expect(extentOf(early)?.fromMm).toBe(-12);
  });

  it('knows nothing where no window has a place', () => {
    const none = placeMap({ ...STOPPED, windows: [at(null, null, 0, 10)] });
    expect(none).toEqual([]);
    expect(extentOf(none)).toBeNull();
    expect(askedStretch(none, { fromMm: 0, toMm: 10 })).toBeNull();
  });

  it('cuts what is asked for to the pass, in order; all of it where nothing of it is asked for', () => {
    expect(askedStretch(map, { fromMm: 120, toMm: 40 })).toEqual({ fromMm: 40, toMm: 120 });
    expect(askedStretch(map, { fromMm: -50, toMm: 80 })).toEqual({ fromMm: 0, toMm: 80 });
    expect(askedStretch(map, { fromMm: null, toMm: null })).toEqual({ fromMm: 0, toMm: 160 });
    expect(askedStretch(map, { fromMm: 500, toMm: 600 })).toEqual({ fromMm: 0, toMm: 160 });
    expect(askedStretch(map, { fromMm: 70, toMm: 70 })).toEqual({ fromMm: 0, toMm: 160 });
  });

  it('names the window at a place', () => {
    expect(windowAt(STOPPED.windows, 60)?.fromS).toBe(10);
    expect(windowAt(STOPPED.windows, 155)).toBeNull();
  });
});
