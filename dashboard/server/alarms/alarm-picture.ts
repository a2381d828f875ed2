/** Everything about alarms as a screen needs it, in one order for all devices. */
import { type AlarmState, availabilityOf, PRIORITIES } from '#core/alarm/alarm-state';
import { ALARM_BUDGET, type Annunciation, budgetState, foldsOf } from '#core/alarm/annunciations';
import type { Alarm, AlarmPicture } from '#core/messages/api-alarm';
import type { KeptAlarm, KeptPoint } from './alarm-table.ts';
import { isOfEdge } from './edge-conditions.ts';

export interface AlarmPictureInput {
  readonly nowMs: number;
  readonly newest: number;
  readonly alarms: readonly KeptAlarm[];
  readonly points: readonly KeptPoint[];
  readonly announced: readonly Annunciation[];
  readonly isHeard: (site: string, rig: string) => boolean;
}

const utc = (ms: number): string => new Date(ms).toISOString();

/** Who must act first: to be acknowledged before seen, urgent before less so, newest first. */
function before(a: Alarm, b: Alarm): number {
  const waits = ({ lifecycle }: Alarm): number =>
    lifecycle === 'unacked' ? 0 : lifecycle === 'acked' ? 1 : 2;
  return (
    PRIORITIES.indexOf(a.priority) - PRIORITIES.indexOf(b.priority) ||
    waits(a) - waits(b) ||
    b.sinceUtc.localeCompare(a.sinceUtc) ||
    b.alarm - a.alarm
  );
}

export function alarmPicture(input: AlarmPictureInput): AlarmPicture {
  const { nowMs, announced, isHeard } = input;
  const folds = foldsOf(announced);
  const alarms = input.alarms.map(({ alarm, identity, about, state, announcement }): Alarm => {
    const fold = folds.findIndex(({ numbers }) => numbers.includes(announcement?.number ?? 0));
    return {
      ...about,
      alarm,
      priority: state.priority,
      lifecycle: state.lifecycle,
      availability: availabilityOf(state),
      ...timesOf(state, nowMs),
      count: state.count,
      acknowledged: state.acknowledged && { by: state.acknowledged.by, atUtc: utc(state.acknowledged.atMs) },
      announcement: announcement && { number: announcement.number, atUtc: utc(announcement.atMs) },
      fold: fold < 0 ? null : fold,
      heard:
        about.site === null || about.rig === null || !isOfEdge(identity) || isHeard(about.site, about.rig),
    };
  });
  return {
    serverUtc: utc(nowMs),
    newest: input.newest,
    alarms: alarms.sort(before),
    folds: folds.map(({ fromMs, toMs, numbers }) => ({
      fromUtc: utc(fromMs),
      toUtc: utc(toMs),
      announcements: numbers.length,
    })),
    budget: {
      ...budgetState(
        announced.map(({ atMs }) => atMs),
        nowMs,
      ),
      ...ALARM_BUDGET,
    },
    away: input.points.map(({ point, shelf, outOfService }) => ({
      ...point,
      shelf: shelf && {
        by: shelf.by,
        reason: shelf.reason,
        atUtc: utc(shelf.atMs),
        untilUtc: utc(shelf.untilMs),
      },
      outOfService: outOfService && {
        by: outOfService.by,
        reason: outOfService.reason,
        atUtc: utc(outOfService.atMs),
      },
    })),
  };
}

const timesOf = ({ sinceMs, clearedMs }: AlarmState, nowMs: number) => ({
  sinceUtc: utc(sinceMs ?? nowMs),
  clearedUtc: clearedMs === null ? null : utc(clearedMs),
});
