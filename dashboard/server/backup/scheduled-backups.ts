/** Backups by the clock: made one at a time, the newest kept, a failure or an old one said on every screen. */
import { mkdirSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import type { SetCondition } from '../health/truck-conditions.ts';
import type { ReportEvent } from '../internal-events.ts';
import {
  asMade,
  type BackupSchedule,
  backupName,
  backupsAmong,
  isDue,
  isOld,
  isUnfinished,
  newestOf,
} from './backup-schedule.ts';

export interface ScheduledBackupsOptions {
  readonly folder: string;
  readonly store: string;
  readonly schedule: BackupSchedule;
  /** How many of the newest stay. */
  readonly keep: number;
  /** Makes one, in a process of its own. Rejects with one sentence. */
  readonly make: (file: string) => Promise<void>;
  readonly set: SetCondition;
  readonly report: ReportEvent;
  readonly now: () => Date;
  readonly monotonicMs: () => number;
}

const LOOK_MS = 60_000;
/** A folder that is away is tried again no sooner. */
const RETRY_MS = 15 * 60_000;

export class ScheduledBackups {
  private readonly options: ScheduledBackupsOptions;
  private timer: NodeJS.Timeout | null = null;
  private running: Promise<void> | null = null;
  private failedAtMs: number | null = null;

  constructor(options: ScheduledBackupsOptions) {
    this.options = options;
  }

  start(): void {
    void this.look();
    this.timer ??= setInterval(() => void this.look(), LOOK_MS);
  }

  async stop(): Promise<void> {
    if (this.timer) clearInterval(this.timer);
    this.timer = null;
    await this.running;
  }

  /** When the newest one was made; null where there is none of a time that has been, or the folder is away. */
  get lastMs(): number | null {
    return newestOf(this.kept(), this.options.now().getTime())?.atMs ?? null;
  }

  /** Makes a backup if one is due; resolves when it is made or has failed. */
  look(): Promise<void> {
    this.running ??= this.makeIfDue().finally(() => {
      this.running = null;
    });
    return this.running;
  }

  private async makeIfDue(): Promise<void> {
    const { schedule, now, monotonicMs } = this.options;
    const waits = this.failedAtMs !== null && monotonicMs() - this.failedAtMs < RETRY_MS;
    if (!waits && isDue(schedule, this.lastMs, now())) await this.makeOne();
    this.tellAge();
  }

  private async makeOne(): Promise<void> {
    const { folder, store, keep, make, set, report, now, monotonicMs } = this.options;
    const name = backupName(store, now());
    const startedMs = monotonicMs();
    try {
      mkdirSync(folder, { recursive: true, mode: 0o700 });
      for (const left of readdirSync(folder)) {
        if (isUnfinished(left, store)) rmSync(join(folder, left), { force: true });
      }
      await make(join(folder, name));
      this.failedAtMs = null;
      report('backupMade', {
        file: join(folder, name),
        tookS: Math.round((monotonicMs() - startedMs) / 1000),
      });
      set('backupFailed', null);
      for (const old of this.kept().slice(0, -keep)) rmSync(join(folder, old.name), { force: true });
    } catch (error) {
      const reason = (error as Error).message;
      this.failedAtMs = monotonicMs();
      report('backupFailed', { folder, reason });
      set('backupFailed', {
        priority: 'medium',
        text: `The backup of the truck was not made: ${reason}`.slice(0, 300),
        action: `See that ${folder} is there and has room. It is tried again every quarter of an hour.`.slice(
          0,
          300,
        ),
      });
    }
  }

  private tellAge(): void {
    const { schedule, set, now, folder } = this.options;
    const { lastMs } = this;
    if (lastMs === null || !isOld(schedule, lastMs, now().getTime())) {
      set('backupOld', null);
      return;
    }
    set('backupOld', {
      priority: 'medium',
      text: `The newest backup of the truck is of ${new Date(lastMs).toISOString().slice(0, 16)}Z: two should have been made since.`,
      action: `See that ${folder} is there and has room, and that the truck's clock is right.`.slice(0, 300),
    });
  }

  /** The one that was made last comes last. */
  private kept() {
    const { folder, store, now } = this.options;
    try {
      return asMade(backupsAmong(readdirSync(folder), store), now().getTime());
    } catch {
      return [];
    }
  }
}
