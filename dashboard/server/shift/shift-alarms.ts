import type { Origin } from '#core/messages/common';
import type { AlarmTable } from '../alarms/alarm-table.ts';

export interface ShiftAlarms {
  readonly ofRig: (rig: { readonly site: string; readonly rig: string }) => number | null;
  readonly dashboard: number | null;
  readonly reason: string | null;
}

/** Announced alarms of one origin in a span. A log that begins later knows nothing of it: null, not 0. */
export function shiftAlarms(
  table: Pick<AlarmTable, 'announcedBetween' | 'logBegins'>,
  origin: Origin,
  fromUtc: string,
  toUtc: string,
): ShiftAlarms {
  const begins = table.logBegins();
  if (begins !== null && begins >= toUtc) {
    const reason = `the log of alarms begins ${begins.slice(0, 10)}, after this shift`;
    return { ofRig: () => null, dashboard: null, reason };
  }
  const counts = table.announcedBetween(fromUtc, toUtc);
  const sum = (wanted: (one: (typeof counts)[number]) => boolean): number =>
    counts.filter(wanted).reduce((total, { n }) => total + n, 0);
  return {
    ofRig: ({ site, rig }) => sum(one => one.site === site && one.rig === rig && one.origin === origin),
    dashboard: sum(one => one.rig === null),
    reason: null,
  };
}
