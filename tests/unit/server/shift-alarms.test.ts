/** Alarms of a shift from the log of the real store. Invented. */
import { describe, expect, it } from 'vitest';
import type { Logged } from '#core/alarm/alarm-machine';
import type { Origin } from '#core/messages/common';
import { shiftAlarms } from '../../../dashboard/server/shift/shift-alarms.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { openStore } from '../../support/test-store.ts';

const FROM = '2026-05-12T06:00:00.000Z';
const TO = '2026-05-13T06:00:00.000Z';

function logged() {
  const { alarms } = openStore(tempDir());
  const log = (at: string, rig: string | null, origin: Origin | null, what: Logged = 'announced'): void => {
    const point = { site: rig === null ? null : 'spread-1', rig, cause: 'clock' as const };
    const words = {
      text: 'The clock is not set.',
      action: 'Set it.',
      quantities: [],
      work: null,
      place: null,
    };
    alarms.log({
      atMs: Date.parse(at),
      what,
      alarm: 1,
      point,
      about: { ...point, origin, priority: 'high', ...words },
      by: null,
      reason: null,
    });
  };
  return { alarms, log };
}

describe('alarms of a shift', () => {
  it('are announcements, by rig, from its first moment to before its last; the dashboard’s own apart', () => {
    const { alarms, log } = logged();
    log('2026-05-12T05:59:59.999Z', 'rig-a', 'real');
    log(FROM, 'rig-a', 'real');
    log('2026-05-13T05:59:59.999Z', 'rig-a', 'real');
    log(TO, 'rig-a', 'real');
    log('2026-05-12T10:00:00.000Z', 'rig-a', 'real', 'acknowledged');
    log('2026-05-12T10:00:00.000Z', 'rig-b', 'real');
    log('2026-05-12T10:00:00.000Z', null, null);
    const { ofRig, dashboard, reason } = shiftAlarms(alarms, 'real', FROM, TO);
    expect(['rig-a', 'rig-b', 'rig-c'].map(rig => ofRig({ site: 'spread-1', rig }))).toEqual([2, 1, 0]);
    expect({ dashboard, reason }).toEqual({ dashboard: 1, reason: null });
  });

  it('of another origin are not among them', () => {
    const { alarms, log } = logged();
    log('2026-05-12T10:00:00.000Z', 'rig-a', 'simulated');
    expect(shiftAlarms(alarms, 'real', FROM, TO).ofRig({ site: 'spread-1', rig: 'rig-a' })).toBe(0);
  });

  it('are not known of a time before the log begins', () => {
    const { alarms, log } = logged();
    log('2026-06-01T10:00:00.000Z', 'rig-a', 'real');
    const { ofRig, dashboard, reason } = shiftAlarms(alarms, 'real', FROM, TO);
    expect([ofRig({ site: 'spread-1', rig: 'rig-a' }), dashboard]).toEqual([null, null]);
    expect(reason).toBe('the log of alarms begins 2026-06-01, after this shift');
  });
});
