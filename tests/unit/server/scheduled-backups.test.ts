import { mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  type BackupSchedule,
  backupName,
  backupsAmong,
  isDue,
  isOld,
} from '../../../dashboard/server/backup/backup-schedule.ts';
import { ScheduledBackups } from '../../../dashboard/server/backup/scheduled-backups.ts';
import { TruckConditions } from '../../../dashboard/server/health/truck-conditions.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { tempDir } from '../../support/temp-dir.ts';

const HOUR = 3_600_000;
const AT_NIGHT: BackupSchedule = { at: '02:30', everyH: 24 };
const EVERY_6_H: BackupSchedule = { at: null, everyH: 6 };
/** A local time, whatever the zone of the machine. */
const local = (day: number, hour: number, minute = 0): Date => new Date(2026, 4, day, hour, minute);

// Rules of this project, no source: what is due when.
describe('a backup', () => {
  it('is due at its time of day, once, and at the next start when the truck was off then', () => {
    expect(isDue(AT_NIGHT, null, local(12, 12))).toBe(true);
    const last = local(12, 2, 30).getTime();
    expect(isDue(AT_NIGHT, last, local(12, 2, 31))).toBe(false);
    expect(isDue(AT_NIGHT, last, local(13, 2, 29))).toBe(false);
    expect(isDue(AT_NIGHT, last, local(13, 2, 30))).toBe(true);
    expect(isDue(AT_NIGHT, last, local(16, 23))).toBe(true);
  });

  it('is due every so many hours without one, and not because a clock was set back', () => {
    const last = local(12, 12).getTime();
    expect(isDue(EVERY_6_H, last, new Date(last + 6 * HOUR - 1))).toBe(false);
    expect(isDue(EVERY_6_H, last, new Date(last + 6 * HOUR))).toBe(true);
    expect(isDue(EVERY_6_H, last, new Date(last - 5 * HOUR))).toBe(false);
    expect(isDue(AT_NIGHT, last, local(12, 3))).toBe(false);
  });

  it('is old after two intervals', () => {
    expect([11, 13].map(h => isOld(EVERY_6_H, 0, h * HOUR))).toEqual([false, true]);
    expect([47, 49].map(h => isOld(AT_NIGHT, 0, h * HOUR))).toEqual([false, true]);
  });

  it('is found by its name, of its own store only', () => {
    const at = new Date('2026-05-12T02:30:05.999Z');
    const name = backupName('truck', at);
    expect(name).toBe('girthlog-truck-20260512T023005Z.tar.gz');
    const others = [
      'girthlog-truck-2-20260512T023005Z.tar.gz',
      'girthlog-truck-old.tar.gz',
      'notes.txt',
      `${name}.part-7`,
    ];
    expect(backupsAmong([...others, name], 'truck')).toEqual([
      { name, atMs: Date.parse('2026-05-12T02:30:05Z') },
    ]);
  });
});

describe('backups by the clock', () => {
  function scheduled(options: { keep?: number } = {}) {
    const folder = join(tempDir(), 'backups');
    const clock = { ms: local(12, 12).getTime() };
    const { report, counts } = recordedEvents();
    const conditions = new TruckConditions(() => new Date(clock.ms));
    const state = { fails: null as string | null };
    const backups = new ScheduledBackups({
      folder,
      store: 'truck',
      schedule: EVERY_6_H,
      keep: options.keep ?? 3,
      make: async file => {
        if (state.fails !== null) {
          writeFileSync(`${file}.part-4711`, 'half');
          throw new Error(state.fails);
        }
        writeFileSync(file, 'backup', { flag: 'wx' });
      },
      set: conditions.set,
      report,
      now: () => new Date(clock.ms),
      monotonicMs: () => clock.ms,
    });
    const causes = () => conditions.state().conditions.map(({ cause }) => cause);
    return { folder, clock, counts, conditions, state, backups, causes };
  }

  it('are made when due, and the newest are kept; files of others are left alone', async () => {
    const { folder, clock, counts, backups, causes } = scheduled();
    mkdirSync(folder);
    writeFileSync(join(folder, 'mine.tar.gz'), 'mine');
    for (let hour = 0; hour < 36; hour++) {
      await backups.look();
      clock.ms += HOUR;
    }
    expect(counts).toEqual({ backupMade: 6 });
    const names = readdirSync(folder);
    expect(names).toContain('mine.tar.gz');
    expect(names.filter(name => name.startsWith('girthlog-'))).toHaveLength(3);
    expect(backups.lastMs).toBe(local(12, 12).getTime() + 30 * HOUR);
    expect(causes()).toEqual([]);
  });

  it('that fail are said with their reason and tried again, delete nothing, and leave nothing behind', async () => {
    const { folder, clock, counts, backups, causes, conditions, state } = scheduled({ keep: 1 });
    await backups.look();
    const [first] = readdirSync(folder);
    state.fails = 'The disk of /media/backup is full.';
    clock.ms += 6 * HOUR;
    await backups.look();
    expect(causes()).toEqual(['backupFailed']);
    expect(conditions.state().conditions[0]?.text).toContain('The disk of /media/backup is full.');
    await backups.look();
    expect(counts).toMatchObject({ backupFailed: 1 });
    clock.ms += 15 * 60_000;
    await backups.look();
    expect(counts).toMatchObject({ backupFailed: 2 });
    expect(readdirSync(folder)).toContain(first);
    clock.ms += 7 * HOUR;
    await backups.look();
    expect(causes()).toEqual(['backupOld', 'backupFailed']);
    state.fails = null;
    clock.ms += HOUR;
    await backups.look();
    expect(causes()).toEqual([]);
    expect(readdirSync(folder)).toEqual([backupName('truck', new Date(clock.ms))]);
  });

  it('go on after a clock that was ahead was put right, and no new one goes for those of the wrong time', async () => {
    const { folder, clock, counts, backups, causes } = scheduled({ keep: 2 });
    const right = clock.ms;
    clock.ms += 400 * 24 * HOUR;
    await backups.look();
    clock.ms += 6 * HOUR;
    await backups.look();
    const ahead = readdirSync(folder).sort();
    expect(ahead).toHaveLength(2);
    clock.ms = right;
    await backups.look();
    expect(counts).toEqual({ backupMade: 3 });
    expect(backups.lastMs).toBe(right);
    // It is the newest there is, whatever the names of the others say.
    expect(readdirSync(folder).sort()).toEqual([backupName('truck', new Date(right)), ahead[1]]);
    clock.ms += 6 * HOUR;
    await backups.look();
    expect(readdirSync(folder).sort()).toEqual(
      [right, right + 6 * HOUR].map(ms => backupName('truck', new Date(ms))),
    );
    expect(causes()).toEqual([]);
    // Put back by less than an interval it makes none more.
    clock.ms -= 5 * HOUR;
    await backups.look();
    expect(counts).toEqual({ backupMade: 4 });
  });
});
