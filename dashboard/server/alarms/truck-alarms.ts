/** Conditions of the truck itself (its store, disk, backups) as conditions of the desk. */
import type { AlarmCause } from '#core/alarm/alarm-cause';
import type { Priority } from '#core/alarm/alarm-state';
import type { AlarmDesk } from './alarm-desk.ts';

const PREFIX = 'truck ';

/** One as its keeper says it: true since then, with what to do. */
export interface TruckAlarm {
  readonly cause: AlarmCause;
  readonly priority: Priority;
  /** UTC. */
  readonly since: string;
  readonly text: string;
  readonly action: string;
}

/** All that is true of the truck now; what is not named any more has ended. */
export function takeTruckAlarms(desk: AlarmDesk, alarms: readonly TruckAlarm[]): void {
  desk.takeAll(
    identity => identity.startsWith(PREFIX),
    alarms.map(({ cause, priority, since, text, action }) => ({
      identity: PREFIX + cause,
      about: {
        site: null,
        rig: null,
        cause,
        origin: null,
        priority,
        work: null,
        quantities: [],
        place: null,
        text,
        action,
      },
      sinceMs: Date.parse(since),
    })),
  );
}
