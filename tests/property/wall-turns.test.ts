/**
 * No two samples of a rig get one time in InfluxDB, however often its clock is put back. That points of one series and
 * one time are one point: InfluxDB documentation, "Frequently asked questions, How does InfluxDB handle duplicate points?"
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { placeBatch, type Turns, timeNs } from '../../dashboard/server/projection/wall-turns.ts';

const batch = fc.record({
  offsetMs: fc.constantFrom(0, 0, 0, -1000, -1, 1, 500, 3_600_000, -3_600_000),
  /** Record time that goes by before it, µs. */
  waitUs: fc.integer({ min: 1, max: 2_000_000 }),
  n: fc.integer({ min: 1, max: 30 }),
  stepUs: fc.integer({ min: 1, max: 20_000 }),
});

describe('times of samples in InfluxDB', () => {
  it('are all different, for several streams and a clock that jumps', () => {
    fc.assert(
      fc.property(fc.array(fc.array(batch, { maxLength: 24 }), { minLength: 1, maxLength: 4 }), streams => {
        const times = new Set<string>();
        let samples = 0;
        streams.forEach((batches, ordinal) => {
          let turns: Turns = [];
          // Record time of each stream begins at the same moment: as bad as it can be.
          let tUs = 1_778_572_800_000_000;
          for (const { offsetMs, waitUs, n, stepUs } of batches) {
            tUs += waitUs;
            const wall = Array.from({ length: n }, (_, i) => tUs + i * stepUs + 1000 * offsetMs);
            tUs += (n - 1) * stepUs;
            const placed = placeBatch(turns, ordinal, wall[0]!, wall.at(-1)!);
            if ('refused' in placed) throw new Error(placed.refused);
            turns = placed.turns;
            for (const us of wall) times.add(timeNs(us, placed.digits));
            samples += n;
          }
        });
        expect(times.size).toBe(samples);
      }),
    );
  });

  it('of a clock that only goes on are whole microseconds', () => {
    const first = placeBatch([], 0, 1000, 2000);
    expect(first).toEqual({ digits: 0, turns: [2000] });
    expect(placeBatch([2000], 0, 2001, 3000)).toEqual({ digits: 0, turns: [3000] });
    expect(timeNs(1_778_572_800_000_001, 0)).toBe('1778572800000001000');
  });

  it('are refused where the digits are used up, not given twice', () => {
    let turns: Turns = [];
    for (let i = 0; i < 25; i++) {
      const placed = placeBatch(turns, 39, 1000, 2000);
      if ('refused' in placed) throw new Error(placed.refused);
      expect(placed.digits).toBe(975 + i);
      turns = placed.turns;
    }
    expect(placeBatch(turns, 39, 1000, 2000)).toHaveProperty('refused');
    expect(placeBatch([], 40, 1000, 2000)).toHaveProperty('refused');
  });
});
