/** Everything about alarms put together: the desk, and what tells it what is true. */
import type { Rig } from '#core/messages/api';
import type { AlarmPicture } from '#core/messages/api-alarm';
import type { Live } from '#core/messages/live';
import type { RigAddress } from '#core/topics/topics';
import type { InternalEvent, ReportEvent } from '../internal-events.ts';
import { AlarmDesk } from './alarm-desk.ts';
import type { AlarmTable } from './alarm-table.ts';
import { InternalWatch } from './internal-watch.ts';
import { RigWatch } from './rig-watch.ts';
import { type TruckAlarm, takeTruckAlarms } from './truck-alarms.ts';

export interface AlarmsOptions {
  readonly table: AlarmTable;
  readonly now: () => Date;
  readonly monotonicMs: () => number;
  readonly report: ReportEvent;
  /** Connected to the broker. */
  readonly isLinked: () => boolean;
  readonly onChange: (picture: AlarmPicture) => void;
}

/** Shelves end and edges fall silent: looked at once a second. */
const TICK_MS = 1000;

export class Alarms {
  readonly desk: AlarmDesk;
  private readonly rigs: RigWatch;
  private readonly internal: InternalWatch;
  private timer: NodeJS.Timeout | null = null;

  constructor({ table, now, monotonicMs, report, isLinked, onChange }: AlarmsOptions) {
    const isHeard = (site: string, rig: string): boolean => this.rigs.isHeard(site, rig);
    this.desk = new AlarmDesk({ table, now, report, isHeard, onChange });
    this.rigs = new RigWatch({ desk: this.desk, monotonicMs, now, isLinked });
    this.internal = new InternalWatch({ desk: this.desk, now, monotonicMs });
  }

  start(): void {
    this.desk.start();
    this.internal.start();
    this.timer ??= setInterval(() => {
      this.rigs.tick();
      this.internal.tick();
      this.desk.tick();
    }, TICK_MS);
  }

  stop(): void {
    if (this.timer) clearInterval(this.timer);
    this.timer = null;
  }

  rig(rig: Rig): void {
    this.rigs.rig(rig);
  }

  live(address: RigAddress, live: Live): void {
    this.rigs.live(address, live);
  }

  /** All that is true of the truck itself. */
  truck(conditions: readonly TruckAlarm[]): void {
    takeTruckAlarms(this.desk, conditions);
  }

  event(name: InternalEvent, fields: Readonly<Record<string, unknown>>): void {
    this.internal.onEvent(name, fields);
  }
}
