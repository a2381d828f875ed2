import { describe, expect, it } from 'vitest';
import { Timeline } from '#core/frame/timeline';
import type { SampleChunk } from '#core/sample/chunk';

/** One frame of `n` intervals of 10 ms from device time `fromUs`. */
function chunk(fromUs: number, n = 1): SampleChunk {
  return {
    n,
    tUs: Float64Array.from({ length: n }, (_, k) => fromUs + k * 10_000),
    lengthUs: new Float64Array(n).fill(10_000),
    columns: {},
  };
}

function placed(timeline: Timeline, fromUs: number, arrivalUs: number, n = 1): number[] {
  const one = chunk(fromUs, n);
  timeline.place(one, arrivalUs);
  return [...one.tUs];
}

describe('timeline', () => {
  it('ends the first samples when they arrive and then follows the device', () => {
    const timeline = new Timeline(true);
    expect(placed(timeline, 5_000, 1_000_000, 3)).toEqual([970_000, 980_000, 990_000]);
    // Half a second late: the samples are where the device says.
    expect(placed(timeline, 35_000, 1_510_000)).toEqual([1_000_000]);
    expect(placed(timeline, 45_000, 1_011_000)).toEqual([1_010_000]);
    expect(timeline.counters.reanchored).toBe(0);
  });

  it('begins anew after a restart, at the arrival, and shows the time between as a gap', () => {
    const timeline = new Timeline(true);
    placed(timeline, 900_000_000, 1_000_000);
    timeline.restart();
    expect(placed(timeline, 100, 4_000_000)).toEqual([3_990_000]);
  });

  it('never goes backwards, even where a restart arrives before its predecessor ends', () => {
    const timeline = new Timeline(true);
    placed(timeline, 0, 1_000_000, 50);
    timeline.restart();
    expect(placed(timeline, 0, 1_000_500, 50)[0]).toBe(1_000_000);
  });

  it('keeps the device time over a reconnection, its counter wrapped or not', () => {
    const timeline = new Timeline(true);
    const last = 2 ** 32 - 10_000;
    placed(timeline, last, 1_000_000);
    timeline.reconnect();
    // 5 s without a cable: the 32-bit time has wrapped meanwhile, the new decoder begins with the raw value.
    expect(placed(timeline, 4_990_000, 6_003_000)).toEqual([5_990_000]);
    timeline.reconnect();
    expect(placed(timeline, 5_990_000, 7_003_000)).toEqual([6_990_000]);
    // A wrapped counter must be told apart from a device that began again.
    timeline.reconnect();
    expect(placed(timeline, 100, 9_000_000)).toEqual([8_990_000]);
    expect(timeline.counters.reanchored).toBe(1);
  });

  it('is not moved by a computer that was busy for three seconds', () => {
    const timeline = new Timeline(true);
    placed(timeline, 0, 1_000_000);
    for (let k = 1; k < 300; k++) {
      expect(placed(timeline, k * 10_000, 4_000_000)).toEqual([990_000 + k * 10_000]);
    }
    expect(timeline.counters.reanchored).toBe(0);
  });

  it('follows arrivals again when the device is more than 2 s late for 5 s', () => {
    const timeline = new Timeline(true);
    placed(timeline, 0, 1_000_000);
    // The device counts 9 % too slowly: durations are its own until the difference is absurd.
    let moved = 0;
    for (let k = 1; k < 4000; k++) {
      const one = chunk(k * 10_000);
      if (timeline.place(one, 1_000_000 + k * 11_000)) moved++;
      expect(timeline.aheadOfArrivalUs).toBeGreaterThan(-2_600_000);
    }
    expect(moved).toBe(timeline.counters.reanchored);
    expect(moved).toBeGreaterThan(0);
  });

  it('does not follow a device time that leaps an hour ahead', () => {
    const timeline = new Timeline(true);
    placed(timeline, 0, 1_000_000);
    const one = chunk(3_600_000_000);
    expect(timeline.place(one, 1_500_000)).toBe(true);
    expect([...one.tUs]).toEqual([1_490_000]);
  });

  it('says once that a device runs fast and never puts samples on top of each other', () => {
    const timeline = new Timeline(true);
    let last = -1;
    for (let k = 0; k < 3000; k++) {
      const [t] = placed(timeline, k * 10_000, 1_000_000 + k * 9_000);
      expect(t!).toBeGreaterThan(last);
      last = t!;
    }
    expect(timeline.counters.reanchored).toBe(1);
  });

  it('of a file takes device time only, with the smallest gap for a restart', () => {
    const timeline = new Timeline(false, 500_000);
    expect(placed(timeline, 7_000, 0)).toEqual([0]);
    expect(placed(timeline, 99_000_000, 0)).toEqual([98_993_000]);
    timeline.restart();
    expect(placed(timeline, 50, 0)).toEqual([99_003_000 + 500_000]);
    expect(timeline.counters.reanchored).toBe(0);
  });
});
