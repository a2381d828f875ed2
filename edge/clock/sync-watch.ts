/**
 * Is the wall clock kept by a time service? Asked of the kernel through timedatectl (any service that
 * steers the kernel clock counts), else of the mark that systemd-timesyncd leaves. No answer: unsynced.
 */
import { execFile } from 'node:child_process';
import { access } from 'node:fs/promises';
import type { ClockState } from '#core/messages/common';

const ASK_EVERY_MS = 30_000;
const TIMESYNC_MARK = '/run/systemd/timesync/synchronized';

export interface SyncProbe {
  /** True or false as the kernel says; null when nobody can say. */
  readonly kernelSynced: () => Promise<boolean | null>;
  /** Whether a time service has set the clock since boot. */
  readonly wasSet: () => Promise<boolean>;
}

export const systemSyncProbe: SyncProbe = {
  kernelSynced: () =>
    new Promise(resolve => {
      execFile(
        'timedatectl',
        ['show', '--property=NTPSynchronized', '--value'],
        { timeout: 2000 },
        (error, stdout) => resolve(error ? null : stdout.trim() === 'yes'),
      );
    }),
  wasSet: () =>
    access(TIMESYNC_MARK).then(
      () => true,
      () => false,
    ),
};

/** Keeps asking; `state` answers at once with what is known. */
export class SyncWatch {
  private current: ClockState = 'unsynced';
  private timer: NodeJS.Timeout | null = null;
  private readonly probe: SyncProbe;

  constructor(probe: SyncProbe) {
    this.probe = probe;
  }

  state(): ClockState {
    return this.current;
  }

  async start(): Promise<void> {
    await this.ask();
    this.timer = setInterval(() => void this.ask(), ASK_EVERY_MS);
    this.timer.unref();
  }

  stop(): void {
    if (this.timer) clearInterval(this.timer);
    this.timer = null;
  }

  /** Asks once and takes the answer over. */
  async ask(): Promise<void> {
    if (await this.probe.kernelSynced()) {
      this.current = 'synced';
      return;
    }
    // Set once and running free since: still good for a while, and said so.
    if (this.current !== 'unsynced' || (await this.probe.wasSet())) this.current = 'holdover';
  }
}
