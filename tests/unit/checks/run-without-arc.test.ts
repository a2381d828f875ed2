/** A verification run as the edge saw it: travel, or wire, without an arc. Values by hand: length = speed × time. */
import { describe, expect, it } from 'vitest';
import { lastRunWithoutArc } from '#core/checks/run-without-arc';
import type { SampleChunk } from '#core/sample/chunk';

interface Stretch {
  readonly s: number;
  readonly speed: number;
  readonly amps?: number;
  /** Nothing was recorded for this long before it, s. */
  readonly gapS?: number;
}

/** Stretches one after the other at 10 Hz from 100 s on. */
function chunkOf(
  stretches: readonly Stretch[],
  column: 'travelSpeed' | 'travelDistance' = 'travelSpeed',
): SampleChunk {
  const tUs: number[] = [];
  const speed: number[] = [];
  const amps: number[] = [];
  let at = 100;
  for (const one of stretches) {
    at += one.gapS ?? 0;
    for (let i = 0; i < Math.round(one.s * 10); i++) {
      tUs.push(Math.round(at * 1e6));
      speed.push(one.speed);
      amps.push(one.amps ?? 0);
      at += 0.1;
    }
  }
  let mm = 0;
  const distance = speed.map(v => {
    const was = mm;
    mm += v * 0.1;
    return was;
  });
  const moved = column === 'travelSpeed' ? speed : distance;
  return {
    n: tUs.length,
    tUs: Float64Array.from(tUs),
    lengthUs: null,
    columns: { weldingCurrent: Float64Array.from(amps), [column]: Float64Array.from(moved) },
  };
}

describe('the newest run without an arc', () => {
  it('is where the carriage moved, standing before and after', () => {
    const run = lastRunWithoutArc(
      chunkOf([
        { s: 5, speed: 0 },
        { s: 15, speed: 7.5 },
        { s: 4, speed: 0 },
      ]),
      'travelSpeed',
    );
    expect(run?.runS).toBeCloseTo(15, 6);
    expect(run?.meanMmPerS).toBeCloseTo(7.5, 6);
    expect(run?.startUs).toBe(105e6);
  });

  it('comes from a distance as well', () => {
    const chunk = chunkOf(
      [
        { s: 5, speed: 0 },
        { s: 10, speed: 8 },
        { s: 4, speed: 0 },
      ],
      'travelDistance',
    );
    expect(lastRunWithoutArc(chunk, 'travelSpeed')?.meanMmPerS).toBeCloseTo(8, 6);
  });

  it('is the newest of several, and may still be going on', () => {
    const chunk = chunkOf([
      { s: 6, speed: 5 },
      { s: 2, speed: 0 },
      { s: 6, speed: 9 },
    ]);
    expect(lastRunWithoutArc(chunk, 'travelSpeed')?.meanMmPerS).toBeCloseTo(9, 6);
  });

  it.each<[string, Stretch[]]>([
    ['welding', [{ s: 20, speed: 7.5, amps: 230 }]],
    [
      'too short',
      [
        { s: 2.8, speed: 7.5 },
        { s: 3, speed: 0 },
      ],
    ],
    ['standing', [{ s: 20, speed: 0.4 }]],
    [
      'nothing recorded in its middle',
      [
        { s: 2, speed: 7.5 },
        { s: 2, speed: 7.5, gapS: 1 },
      ],
    ],
  ])('%s is none', (_name, stretches) => {
    expect(lastRunWithoutArc(chunkOf(stretches), 'travelSpeed')).toBeNull();
  });

  it('ends where the arc starts', () => {
    const run = lastRunWithoutArc(
      chunkOf([
        { s: 10, speed: 6 },
        { s: 10, speed: 6, amps: 200 },
      ]),
      'travelSpeed',
    );
    expect(run?.runS).toBeCloseTo(10, 6);
  });

  it('is unknown without the channel, and where a reading is unknown', () => {
    expect(lastRunWithoutArc(chunkOf([{ s: 20, speed: 7.5 }]), 'wireFeedSpeed')).toBeNull();
    expect(lastRunWithoutArc(chunkOf([{ s: 20, speed: Number.NaN }]), 'travelSpeed')).toBeNull();
  });
});
