import { describe, expect, it } from 'vitest';
import { DAY_MS, writePace } from '../../../dashboard/server/health/write-pace.ts';

const START = Date.UTC(2026, 4, 1);
/** `perDay[i]` records on day i, evenly, each of 1,000 bytes. */
function recorded(perDay: readonly number[]) {
  const records = perDay.reduce((sum, n) => sum + n, 0);
  return {
    bytesPerRecord: 1000,
    records,
    firstMs: START,
    recordsAt: (ms: number) =>
      perDay.reduce((sum, n, day) => sum + n * Math.min(1, Math.max(0, (ms - START) / DAY_MS - day)), 0),
  };
}

// Expected values by hand; the seven days and ten minutes are project rules, no source.
describe('pace of writing', () => {
  it('is that of the busiest of the last seven days', () => {
    const days = [900, 100, 100, 300, 100, 100, 0, 0, 100, 100];
    expect(writePace(recorded(days), START + days.length * DAY_MS)).toBeCloseTo(300_000, 6);
  });

  it('is drawn out to a day on the first day', () => {
    const one = { bytesPerRecord: 1000, records: 1000, firstMs: START, recordsAt: () => 1000 };
    expect(writePace(one, START + DAY_MS / 4)).toBeCloseTo(4e6, 6);
  });

  it('is unknown before ten minutes of records, never 0', () => {
    const one = { bytesPerRecord: 1000, records: 10, firstMs: START, recordsAt: () => 10 };
    expect(writePace(one, START + 599_999)).toBeNull();
    expect(writePace({ ...one, firstMs: null, records: 0 }, START)).toBeNull();
  });

  it('is 0 after a week without a record: then nothing fills the disk', () => {
    const days = [500, 0, 0, 0, 0, 0, 0, 0, 0];
    expect(writePace(recorded(days), START + days.length * DAY_MS)).toBe(0);
  });
});
