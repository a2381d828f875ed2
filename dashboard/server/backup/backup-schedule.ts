/** When the next backup is due, and what its file is called. Times are given; nothing here reads a clock. */

export interface BackupSchedule {
  /** Local time of day HH:MM; null: every `everyH` hours from the last one. */
  readonly at: string | null;
  readonly everyH: number;
}

export interface BackupFile {
  readonly name: string;
  readonly atMs: number;
}

const HOUR_MS = 3_600_000;
const STAMP = /^(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)Z$/;

export function backupName(store: string, at: Date): string {
  return `girthlog-${store}-${at.toISOString().slice(0, 19).replace(/[-:]/g, '')}Z.tar.gz`;
}

/** The scheduled backups of `store` among these names, oldest first. Others are left alone. */
export function backupsAmong(names: readonly string[], store: string): BackupFile[] {
  const prefix = `girthlog-${store}-`;
  return names
    .flatMap(name => {
      if (!name.startsWith(prefix) || !name.endsWith('.tar.gz')) return [];
      const [, ...parts] = STAMP.exec(name.slice(prefix.length, -'.tar.gz'.length)) ?? [];
      if (parts.length === 0) return [];
      const [y, mo, d, h, mi, s] = parts.map(Number) as [number, number, number, number, number, number];
      return [{ name, atMs: Date.UTC(y, mo - 1, d, h, mi, s) }];
    })
    .sort((a, b) => a.atMs - b.atMs);
}

/** In the order they were made: one stamped later than now is of a clock that was ahead then, and older than what follows. */
export function asMade(files: readonly BackupFile[], nowMs: number): BackupFile[] {
  const isAhead = ({ atMs }: BackupFile): boolean => atMs > nowMs;
  return [...files.filter(isAhead), ...files.filter(file => !isAhead(file))];
}

/** Undefined where there is none of a time that has been. */
export function newestOf(files: readonly BackupFile[], nowMs: number): BackupFile | undefined {
  return files.findLast(({ atMs }) => atMs <= nowMs);
}

/** What a backup that was cut off leaves behind. */
export function isUnfinished(name: string, store: string): boolean {
  return name.startsWith(`girthlog-${store}-`) && /\.tar\.gz\.(?:snapshot|part)-\d+(?:-journal)?$/.test(name);
}

/** `lastMs`: of the newest backup, null without one. One later than now makes none due. */
export function isDue(schedule: BackupSchedule, lastMs: number | null, now: Date): boolean {
  if (lastMs === null) return true;
  const nowMs = now.getTime();
  if (schedule.at === null) return nowMs - lastMs >= schedule.everyH * HOUR_MS;
  const [hour = 0, minute = 0] = schedule.at.split(':').map(Number);
  const due = new Date(now);
  due.setHours(hour, minute, 0, 0);
  if (due.getTime() > nowMs) due.setDate(due.getDate() - 1);
  return lastMs < due.getTime();
}

/** Older than two intervals: something has kept two of them from being made. */
export function isOld(schedule: BackupSchedule, lastMs: number, nowMs: number): boolean {
  const everyMs = (schedule.at === null ? schedule.everyH : 24) * HOUR_MS;
  return nowMs - lastMs > 2 * everyMs;
}
