/** Alarms as they stand, what is put away, and the append-only log of announcements and actions. */
import type { Logged } from '#core/alarm/alarm-machine';
import type { AlarmState, OutOfService, Shelf } from '#core/alarm/alarm-state';
import type { Annunciation } from '#core/alarm/annunciations';
import type { AlarmAbout, AlarmHistory, AlarmPoint } from '#core/messages/api-alarm';
import type { Origin } from '#core/messages/common';
import { pageOf, where } from '../store/page.ts';
import type { Prepare } from '../store/statements.ts';
import type { Page } from '../store/store.ts';

/** One alarm as it is kept. */
export interface KeptAlarm {
  readonly alarm: number;
  /** What makes it the same alarm: see edge-conditions.ts; the dashboard's own have theirs. */
  readonly identity: string;
  readonly about: AlarmAbout;
  readonly state: AlarmState;
  readonly announcement: Annunciation | null;
}

/** What is put away of a point. */
export interface KeptPoint {
  readonly point: AlarmPoint;
  readonly shelf: Shelf | null;
  readonly outOfService: OutOfService | null;
}

export interface AlarmLogEntry {
  readonly atMs: number;
  readonly what: Logged;
  readonly alarm: number | null;
  readonly point: AlarmPoint;
  readonly about: AlarmAbout | null;
  readonly by: string | null;
  readonly reason: string | null;
}

export interface AnnouncedCount {
  readonly site: string | null;
  readonly rig: string | null;
  readonly origin: Origin | null;
  readonly n: number;
}

interface LogRow {
  n: number;
  at: string;
  what: Logged;
  alarm: number | null;
  site: string | null;
  rig: string | null;
  cause: AlarmPoint['cause'];
  about: string | null;
  by: string | null;
  reason: string | null;
}

export class AlarmTable {
  private readonly sql: Prepare;
  /** Runs in one transaction what belongs together. */
  readonly together: (work: () => void) => void;

  constructor(sql: Prepare, together: (work: () => void) => void) {
    this.sql = sql;
    this.together = together;
  }

  alarms(): KeptAlarm[] {
    const rows = this.sql('SELECT n, kept FROM alarms ORDER BY n').all() as { n: number; kept: string }[];
    return rows.map(({ n, kept }) => ({ ...(JSON.parse(kept) as Omit<KeptAlarm, 'alarm'>), alarm: n }));
  }

  /** The number of a new alarm; never given twice. */
  add(kept: Omit<KeptAlarm, 'alarm'>): number {
    const { lastInsertRowid } = this.sql('INSERT INTO alarms (identity, kept) VALUES (?, ?)').run(
      kept.identity,
      JSON.stringify(kept),
    );
    return Number(lastInsertRowid);
  }

  save({ alarm, ...kept }: KeptAlarm): void {
    this.sql(
      'INSERT INTO alarms (n, identity, kept) VALUES (?, ?, ?) ON CONFLICT (n) DO UPDATE SET kept = excluded.kept',
    ).run(alarm, kept.identity, JSON.stringify(kept));
  }

  remove(alarm: number): void {
    this.sql('DELETE FROM alarms WHERE n = ?').run(alarm);
  }

  points(): KeptPoint[] {
    const rows = this.sql('SELECT kept FROM alarm_points').all() as { kept: string }[];
    return rows.map(({ kept }) => JSON.parse(kept) as KeptPoint);
  }

  savePoint(kept: KeptPoint): void {
    const key = pointKey(kept.point);
    if (!kept.shelf && !kept.outOfService) this.sql('DELETE FROM alarm_points WHERE point = ?').run(key);
    else {
      this.sql(
        'INSERT INTO alarm_points (point, kept) VALUES (?, ?) ON CONFLICT (point) DO UPDATE SET kept = excluded.kept',
      ).run(key, JSON.stringify(kept));
    }
  }

  /** The number of the entry. Those of `announced` count announcements: they rise and are never used twice. */
  log({ atMs, what, alarm, point, about, by, reason }: AlarmLogEntry): number {
    const { lastInsertRowid } = this.sql(
      `INSERT INTO alarm_log (at, what, alarm, site, rig, cause, about, by, reason)
       VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    ).run(
      new Date(atMs).toISOString(),
      what,
      alarm,
      point.site,
      point.rig,
      point.cause,
      about && JSON.stringify(about),
      by,
      reason,
    );
    return Number(lastInsertRowid);
  }

  /** Announcements since a moment, in the order of their numbers. */
  announcedSince(ms: number): Annunciation[] {
    const rows = this.sql(`SELECT n, at FROM alarm_log WHERE what = 'announced' AND at > ? ORDER BY n`).all(
      new Date(ms).toISOString(),
    ) as { n: number; at: string }[];
    return rows.map(({ n, at }) => ({ number: n, atMs: Date.parse(at) }));
  }

  /** Announcements of a span, counted by rig and origin; both null: of the dashboard itself. */
  announcedBetween(fromUtc: string, toUtc: string): AnnouncedCount[] {
    return this.sql(
      `SELECT site, rig, about ->> 'origin' AS origin, count(*) AS n FROM alarm_log
       WHERE what = 'announced' AND at >= ? AND at < ? GROUP BY site, rig, origin`,
    ).all(fromUtc, toUtc) as AnnouncedCount[];
  }

  /** When the log begins; null while it is empty. */
  logBegins(): string | null {
    const row = this.sql('SELECT at FROM alarm_log ORDER BY n LIMIT 1').get();
    return (row as { at: string } | undefined)?.at ?? null;
  }

  newestAnnouncement(): number {
    const row = this.sql(`SELECT max(n) AS n FROM alarm_log WHERE what = 'announced'`).get();
    return (row as { n: number | null }).n ?? 0;
  }

  /** Newest first. */
  history(filter: {
    readonly site?: string | undefined;
    readonly rig?: string | undefined;
    readonly limit: number;
    readonly before?: string | undefined;
  }): Page<AlarmHistory['entries'][number]> {
    const { site, rig, limit, before } = filter;
    const { clause, values } = where({ site, rig }, 'n < cast(? AS INTEGER)', before, 1);
    const rows = this.sql(`SELECT * FROM alarm_log ${clause} ORDER BY n DESC LIMIT ?`).all(
      ...values,
      limit + 1,
    ) as LogRow[];
    return pageOf(rows, limit, row => [String(row.n)], entryOf);
  }
}

export const pointKey = ({ site, rig, cause }: AlarmPoint): string => `${site ?? ''}/${rig ?? ''} ${cause}`;

function entryOf({ n, about, ...row }: LogRow): AlarmHistory['entries'][number] {
  const { at, what, alarm, site, rig, cause, by, reason } = row;
  return {
    number: n,
    at,
    what,
    alarm,
    site,
    rig,
    cause,
    about: about === null ? null : (JSON.parse(about) as AlarmAbout),
    by,
    reason,
  };
}
