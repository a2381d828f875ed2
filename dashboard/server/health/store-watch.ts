/**
 * Looks after the room the store has: free space, days left at the pace of the busiest of the last days, the
 * log beside the file. Warns at 20 % free or 7 days left; recording is never refused for it.
 */
import { statfsSync } from 'node:fs';
import type { TruckRoom } from '#core/messages/truck';
import type { ReportEvent } from '../internal-events.ts';
import { storeErrorKind } from '../store/store-errors.ts';
import type { StoreHealth } from '../store/store-health.ts';
import type { SetCondition } from './truck-conditions.ts';
import { writePace } from './write-pace.ts';

export interface StoreWatchOptions {
  readonly directory: string;
  readonly store: StoreHealth;
  readonly set: SetCondition;
  readonly report: ReportEvent;
  readonly now: () => Date;
  readonly onStoreError: (error: Error) => void;
  /** Free and total bytes of the folder's disk; null where it does not say. */
  readonly diskOf?: (directory: string) => Disk | null;
}

interface Disk {
  readonly freeBytes: number;
  readonly totalBytes: number;
}

const EVERY_MS = 10_000;
const WARN_FREE_SHARE = 0.2;
const WARN_DAYS = 7;
/** Left to the last words: what is free beyond this can be written. */
const RESERVE_BYTES = 64 * 1024 * 1024;
/** A reader that stays in one place keeps the log from being cut back. */
export const LARGE_LOG_BYTES = 32 * 1024 * 1024;

export class StoreWatch {
  private readonly options: StoreWatchOptions;
  private timer: NodeJS.Timeout | null = null;
  private measured: TruckRoom | null = null;
  private logWasLarge = false;

  constructor(options: StoreWatchOptions) {
    this.options = options;
  }

  start(): void {
    this.look();
    this.timer ??= setInterval(() => this.lookAgain(), EVERY_MS);
  }

  stop(): void {
    if (this.timer) clearInterval(this.timer);
    this.timer = null;
  }

  /** As last measured. */
  get room(): TruckRoom {
    this.measured ??= this.measure();
    return this.measured;
  }

  look(): void {
    const room = this.measure();
    this.measured = room;
    this.lookAtSpace(room);
    this.lookAtLog(room);
    this.lookAside();
  }

  private lookAgain(): void {
    try {
      this.look();
    } catch (error) {
      // A store that is busy or full is said by whoever writes to it.
      if (storeErrorKind(error) === null) throw error;
      this.options.onStoreError(error as Error);
    }
  }

  private measure(): TruckRoom {
    const { directory, store, now, diskOf = diskRoom } = this.options;
    const { bytes, logBytes, reusableBytes } = store.files();
    const disk = diskOf(directory);
    const bytesPerDay = writePace(store.recorded(), now().getTime());
    const usable = disk && Math.max(0, disk.freeBytes + reusableBytes - RESERVE_BYTES);
    const daysLeft = usable === null || !bytesPerDay ? null : usable / bytesPerDay;
    return {
      bytes,
      logBytes,
      freeBytes: disk?.freeBytes ?? null,
      totalBytes: disk?.totalBytes ?? null,
      bytesPerDay,
      daysLeft,
    };
  }

  private lookAtSpace({ freeBytes, totalBytes, daysLeft }: TruckRoom): void {
    const { set } = this.options;
    if (freeBytes === null || totalBytes === null) return;
    const fewDays = daysLeft !== null && daysLeft < WARN_DAYS;
    const share = freeBytes / totalBytes;
    if (share >= WARN_FREE_SHARE && !fewDays) {
      set('diskSpace', null);
      return;
    }
    const days =
      daysLeft === null ? '' : `, enough for ${daysInWords(daysLeft)} at the pace of the busiest day`;
    set('diskSpace', {
      priority: daysLeft !== null && daysLeft < 1 ? 'high' : 'medium',
      text: `The truck's disk has ${Math.floor(share * 100)} % free (${inGb(freeBytes)} GB)${days}.`,
      action: 'Make a backup, then free space or have a larger disk put in. Recording goes on.',
    });
  }

  private lookAtLog({ logBytes }: TruckRoom): void {
    const { set, report, store } = this.options;
    if (logBytes <= LARGE_LOG_BYTES) {
      this.logWasLarge = false;
      set('logLarge', null);
      return;
    }
    if (!this.logWasLarge) report('storeLogLarge', { bytes: logBytes });
    this.logWasLarge = true;
    if (store.truncateLog()) {
      this.logWasLarge = false;
      set('logLarge', null);
      return;
    }
    set('logLarge', {
      priority: 'medium',
      text: `The log beside the truck's store has grown to ${Math.round(logBytes / 1e6)} MB: something reads the store and does not let go.`,
      action:
        'End other programs that have the store open. A backup in progress does this too, and ends by itself.',
    });
  }

  private lookAside(): void {
    const [newest] = this.options.store.setAside().slice(-1);
    this.options.set(
      'storeDamaged',
      newest === undefined
        ? null
        : {
            priority: 'high',
            text: "The truck's store was damaged and moved aside; a new one is in use. The edges send again what they still hold.",
            action:
              `Restore the last backup beside it and have ${newest} looked at; moved elsewhere, this ends.`.slice(
                0,
                300,
              ),
          },
    );
  }
}

function daysInWords(days: number): string {
  return days < 1 ? 'less than a day' : `${Math.floor(days)} days`;
}

function inGb(bytes: number): string {
  return (bytes / 1e9).toFixed(1);
}

function diskRoom(directory: string): Disk | null {
  try {
    const { bavail, blocks, bsize } = statfsSync(directory);
    return { freeBytes: bavail * bsize, totalBytes: blocks * bsize };
  } catch {
    return null;
  }
}
