/**
 * Alarms in memory with their copy in the store. A store that fails silences no alarm: it is shown all the same,
 * and stored with its next change.
 */
import type { AlarmEffect } from '#core/alarm/alarm-machine';
import type { AlarmState } from '#core/alarm/alarm-state';
import { type Annunciation, HOUR_MS } from '#core/alarm/annunciations';
import type { AlarmAbout, AlarmPoint } from '#core/messages/api-alarm';
import type { ReportEvent } from '../internal-events.ts';
import { type AlarmTable, type KeptAlarm, type KeptPoint, pointKey } from './alarm-table.ts';

/** Numbers of alarms that the store did not take begin here. */
const UNSTORED = 1_000_000_000;

export class AlarmBook {
  readonly alarms = new Map<string, KeptAlarm>();
  readonly points = new Map<string, KeptPoint>();
  /** Announcements of the last hour, in the order of their numbers. */
  announced: readonly Annunciation[] = [];
  newest = 0;
  private unstored = UNSTORED;
  private readonly table: AlarmTable;
  private readonly report: ReportEvent;

  constructor(table: AlarmTable, report: ReportEvent) {
    this.table = table;
    this.report = report;
  }

  load(nowMs: number): void {
    for (const kept of this.table.alarms()) this.alarms.set(kept.identity, kept);
    for (const kept of this.table.points()) this.points.set(pointKey(kept.point), kept);
    this.announced = this.table.announcedSince(nowMs - HOUR_MS);
    this.newest = this.table.newestAnnouncement();
  }

  create(identity: string, about: AlarmAbout, state: AlarmState): KeptAlarm {
    const added = { identity, about, state, announcement: null };
    const kept = { alarm: this.stored(table => table.add(added)) ?? this.unstored++, ...added };
    this.alarms.set(identity, kept);
    return kept;
  }

  keep(kept: KeptAlarm): void {
    this.alarms.set(kept.identity, kept);
    this.stored(table => table.save(kept));
  }

  forget({ identity, alarm }: KeptAlarm): void {
    this.alarms.delete(identity);
    this.stored(table => table.remove(alarm));
  }

  keepPoint(kept: KeptPoint): void {
    const key = pointKey(kept.point);
    if (kept.shelf || kept.outOfService) this.points.set(key, kept);
    else this.points.delete(key);
    this.stored(table => table.savePoint(kept));
  }

  log(
    effects: readonly AlarmEffect[],
    atMs: number,
    alarm: number | null,
    point: AlarmPoint,
    about: AlarmAbout | null,
  ): void {
    for (const effect of effects) {
      if (effect.type !== 'log') continue;
      const { what, by, reason } = effect;
      this.stored(table => table.log({ atMs, what, alarm, point, about, by, reason }));
    }
  }

  announce({ alarm, about }: KeptAlarm, atMs: number): Annunciation {
    const entry = { atMs, what: 'announced', alarm, point: about, about, by: null, reason: null } as const;
    const number = this.stored(table => table.log(entry)) ?? this.newest + 1;
    const announcement = { number, atMs };
    this.announced = [...this.announced.filter(one => one.atMs > atMs - HOUR_MS), announcement];
    this.newest = number;
    return announcement;
  }

  /** One transaction, where the store can; `work` runs in any case. */
  together(work: () => void): void {
    let hasRun = false;
    const once = (): void => {
      hasRun = true;
      work();
    };
    try {
      this.table.together(once);
    } catch (error) {
      if (hasRun && isOurs(error)) throw error;
      this.report('alarmNotStored', { reason: (error as Error).message });
      if (!hasRun) work();
    }
  }

  private stored<T>(work: (table: AlarmTable) => T): T | null {
    try {
      return work(this.table);
    } catch (error) {
      this.report('alarmNotStored', { reason: (error as Error).message });
      return null;
    }
  }
}

/** What `work` threw itself; the store's own errors carry a code of SQLite. */
const isOurs = (error: unknown): boolean =>
  !String((error as { code?: unknown }).code ?? '').startsWith('SQLITE');
