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
      if (timeline.place(one, 1_000_000 + k * 11_000) === 'reanchored') moved++;
      expect(timeline.aheadOfArrivalUs).toBeGreaterThan(-2_600_000);
    }
    expect(moved).toBe(timeline.counters.reanchored);
    expect(moved).toBeGreaterThan(0);
  });

  it('does not follow a device time that leaps an hour ahead', () => {
    const timeline = new Timeline(true);
    placed(timeline, 0, 1_000_000);
    const one = chunk(3_600_000_000);
    expect(timeline.place(one, 1_500_000)).toBe('reanchored');
    expect([...one.tUs]).toEqual([1_490_000]);
  });

  it('says that a device runs fast at 2 s and whenever that has doubled, and never puts samples on top of each other', () => {
    const timeline = new Timeline(true);
    let last = -1;
    const said: number[] = [];
    for (let k = 0; k < 10_000; k++) {
      const one = chunk(k * 10_000);
      if (timeline.place(one, 1_000_000 + k * 9_000) === 'ranAhead') said.push(timeline.aheadOfArrivalUs);
      expect(one.tUs[0]!).toBeGreaterThan(last);
      last = one.tUs[0]!;
    }
    // A millisecond further ahead with each frame.
    expect(said.map(us => us / 1e6)).toEqual([2.001, 4.002, 8.004]);
    expect(timeline.counters).toEqual({ reanchored: 0, ranAhead: 3 });
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

/**
 * A ceramic resonator may be wrong by half a percent and more (common practice, no source), and such a device is seconds
 * ahead of the arrivals within minutes. How long nothing was measured has to be seen then, too.
 */
describe('the timeline of a device that runs fast', () => {
  const ENOUGH = 0.25e6;
  /** So much faster than this machine. */
  const RATE = 1.01;

  /** Frames of 10 ms for `seconds` of the device from its second `fromS` on; returns the end of the last. */
  function run(timeline: Timeline, fromS: number, seconds: number): number {
    let last = 0;
    for (let k = 0; k < seconds * 100; k++) {
      const fromUs = fromS * 1e6 + k * 10_000;
      [last] = placed(timeline, fromUs, arrivalOf(fromUs + 10_000)) as [number];
    }
    return last + 10_000;
  }
  const arrivalOf = (deviceUs: number): number => 1e9 + Math.round(deviceUs / RATE);

  it('keeps the gap that lost frames leave', () => {
    const timeline = new Timeline(true);
    const endUs = run(timeline, 0, 600);
    expect(timeline.aheadOfArrivalUs).toBeGreaterThan(5e6);
    // One second of frames is missing.
    const [next] = placed(timeline, 601e6, arrivalOf(601.01e6));
    expect(next! - endUs).toBeGreaterThan(0.9e6 - 1);
    expect(next! - endUs).toBeLessThanOrEqual(1e6);
  });

  it('keeps the gap of a pulled cable, and does not take it for a time that jumped', () => {
    const timeline = new Timeline(true);
    const endUs = run(timeline, 0, 600);
    const said = timeline.counters.reanchored;
    timeline.reconnect();
    const [next] = placed(timeline, 604e6, arrivalOf(604.01e6));
    expect(next! - endUs).toBeGreaterThan(3.6e6 - 1);
    expect(next! - endUs).toBeLessThanOrEqual(4e6);
    expect(timeline.counters.reanchored).toBe(said);
  });

  it('keeps the gap of a device that was off', () => {
    const timeline = new Timeline(true);
    const endUs = run(timeline, 0, 600);
    timeline.restart();
    const [next] = placed(timeline, 20_000, arrivalOf(600e6) + 4e6);
    expect(next! - endUs).toBeGreaterThan(3.5e6);
    expect(next! - endUs).toBeLessThanOrEqual(4e6);
  });

  it('comes back to the arrivals where nothing was measured for long', () => {
    const timeline = new Timeline(true);
    run(timeline, 0, 600);
    timeline.restart();
    const arrivalUs = arrivalOf(600e6) + 3_600e6;
    expect(placed(timeline, 20_000, arrivalUs)).toEqual([arrivalUs - 10_000]);
  });

  it('keeps every gap whatever its time is worth, so long as samples are missing for a while', () => {
    for (const rate of [1.002, 1.05, 2, 10]) {
      const timeline = new Timeline(true);
      const at = (us: number): number => 1e9 + Math.round(us / rate);
      let endUs = 0;
      for (let k = 0; k < 6000; k++) {
        // Every 20 s of the device its frames are missing for 5 s, by turns lost and for want of a cable.
        const away = k > 0 && k % 100 === 0;
        if (away && k % 200 === 0) timeline.reconnect();
        const fromUs = k * 200_000 + Math.floor(k / 100) * 5e6;
        const [start] = placed(timeline, fromUs, at(fromUs + 200_000), 20);
        if (k > 0) expect(start).toBeGreaterThanOrEqual(endUs);
        if (away) expect(start! - endUs, `${rate} times, frame ${k}`).toBeGreaterThan(ENOUGH);
        endUs = start! + 200_000;
      }
    }
  });
});

describe('the timeline of an edge that was started again', () => {
  it('puts nothing before what is on record', () => {
    const timeline = new Timeline(true, 0, 5_000_000);
    // 200 ms that ended 60 ms after the last of the record.
    expect(placed(timeline, 0, 5_060_000, 20)[0]).toBe(5_000_000);
  });
});
