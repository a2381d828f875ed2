/** The clock map, in every store: how a pass recorded before the clock was set is dated. */
import { describe, expect, it } from 'vitest';
import type { ClockMapRow } from '#core/messages/clock-map';
import { redatedPass } from '../../../dashboard/server/api/redated-pass.ts';
import { START_MS, seal, testBody, testPass } from '../../support/test-records.ts';
import { AT, type OpenedStore, RIG, verified } from './store-support.ts';

const row = (
  cause: ClockMapRow['cause'],
  s: number,
  state: ClockMapRow['state'],
  hours: number,
): ClockMapRow => ({
  cause,
  recordUs: START_MS * 1000 + s * 1e6,
  state,
  utcMinusRecordMs: hours * 3_600_000,
  offsetMs: null,
});

export function describeClockMap(name: string, open: () => OpenedStore): void {
  describe(`${name}: the clock map`, () => {
    const pass = (index: number, state: ClockMapRow['state'] = 'unsynced') =>
      testPass(index, { clock: { state, offsetMs: null } });

    function filled(rows: readonly ClockMapRow[]): OpenedStore {
      const opened = open();
      const body = { ...testBody({ passes: [pass(1)] }), clockMap: [...rows] };
      opened.store.commitRecords([verified(seal(JSON.stringify(body), 1))], AT);
      return opened;
    }

    it('dates a pass by the first synced row of the same run, and leaves the record as it is', () => {
      // testPass(1) runs from 60 s to 110 s.
      const rows = [
        row('start', 0, 'unsynced', 0),
        row('minute', 115, 'unsynced', 0),
        row('step', 200, 'synced', 2),
      ];
      const { reopen } = filled([...rows, row('minute', 260, 'synced', 2)]);
      const store = reopen();
      const plus = (s: number) => new Date(START_MS + 2 * 3_600_000 + s * 1000).toISOString();
      expect(redatedPass(store, pass(1))).toEqual({
        startUtc: plus(60),
        endUtc: plus(110),
        knownSinceUtc: plus(200),
      });
      expect(store.pass(pass(1).passId)?.startUtc).toBe(new Date(START_MS + 60_000).toISOString());
    });

    it('says nothing where the clock was set, where it has not been set yet, and over a new start', () => {
      const { store } = filled([row('start', 0, 'unsynced', 0), row('start', 150, 'synced', 2)]);
      expect(redatedPass(store, pass(1))).toBeNull();
      expect(redatedPass(store, pass(1, 'synced'))).toBeNull();
      expect(redatedPass(store, pass(9))).toBeNull();
      expect(store.clockMapAfter({ ...RIG, rig: 'rig-b' }, pass(1).stream, 0)).toEqual([]);
    });
  });
}
