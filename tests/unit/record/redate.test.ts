import { expect, test } from 'vitest';
import type { ClockMapRow } from '#core/messages/clock-map';
import { mapFor, utcMsBy } from '#core/record/redate';

const row = (
  cause: ClockMapRow['cause'],
  s: number,
  state: ClockMapRow['state'],
  hours: number,
): ClockMapRow => ({
  cause,
  recordUs: s * 1e6,
  state,
  utcMinusRecordMs: hours * 3_600_000,
  offsetMs: null,
});

// Worked by hand: two runs, the first never set, the second set at 500 s.
const ROWS = [
  row('start', 0, 'unsynced', 0),
  row('minute', 60, 'unsynced', 0),
  row('start', 100, 'unsynced', 1),
  row('step', 500, 'synced', 3),
  row('minute', 560, 'synced', 3),
];

test('a time before the clock was set is dated by when it was', () => {
  expect(mapFor(ROWS, 200e6)).toBe(ROWS[3]);
  expect(utcMsBy(ROWS[3]!, 200e6)).toBe(200_000 + 3 * 3_600_000);
  expect(mapFor(ROWS, 530e6)).toBe(ROWS[4]);
});

test('not by another run: nobody knows how long the edge was off', () => {
  expect(mapFor(ROWS, 70e6)).toBeNull();
  expect(mapFor(ROWS, 600e6)).toBeNull();
  expect(mapFor([], 0)).toBeNull();
});
