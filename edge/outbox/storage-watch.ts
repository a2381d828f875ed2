/** Looks after the store's room about once a second, and knows how it stands; every batch that gave way is told. */
import type { InternalEvents } from '../internal-events.ts';
import type { Outbox } from './outbox-client.ts';
import { type ReducedRange, StoreError, type StoreStats } from './outbox-types.ts';

const LOOK_EVERY_MS = 1000;
/** Between two pieces of work: commits come first. */
const MORE_AFTER_MS = 20;
const WARN_SHARE = 0.2;
const WARN_DAYS = 7;

export type StorageLevel =
  | 'ok'
  /** Less than 20 % or 7 days are left. */
  | 'low'
  /** What waits for a store is not whole any more, or the disk is full. */
  | 'thinning';

export interface StorageWatchOptions {
  readonly outbox: Pick<Outbox, 'makeRoom' | 'stats'>;
  readonly events: InternalEvents;
  /** Puts it on record. */
  readonly tell: (text: string, data: Record<string, string | number>) => void;
  /** The store cannot go on. */
  readonly onFailed: (error: unknown) => void;
}

export interface StorageState {
  readonly level: StorageLevel;
  readonly stats: StoreStats;
}

export class StorageWatch {
  private readonly options: StorageWatchOptions;
  private timer: NodeJS.Timeout | null = null;
  private stopped = true;
  private latest: StorageState | null = null;

  constructor(options: StorageWatchOptions) {
    this.options = options;
  }

  /** As of the last look; null before the first. */
  get state(): StorageState | null {
    return this.latest;
  }

  start(): void {
    this.stopped = false;
    void this.look();
  }

  stop(): void {
    this.stopped = true;
    if (this.timer) clearTimeout(this.timer);
    this.timer = null;
  }

  /** One piece of work, then how it stands. True when there is more to do at once. */
  async once(): Promise<boolean> {
    const { outbox } = this.options;
    // Asked together, so that the store's thread is woken once; it answers in order.
    const [made, asked] = await Promise.allSettled([outbox.makeRoom(), outbox.stats()]);
    let more = false;
    if (made.status === 'fulfilled') {
      for (const range of made.value.reduced) this.tell(range);
      more = made.value.more;
    } else {
      const error: unknown = made.reason;
      // A full disk is tried again; the recorder says meanwhile that it takes nothing.
      if (!(error instanceof StoreError) || error.kind !== 'full') throw error;
    }
    if (asked.status === 'rejected') throw asked.reason;
    const stats = asked.value;
    const level = levelOf(stats);
    if (level !== (this.latest?.level ?? 'ok')) this.changed(level, stats);
    this.latest = { level, stats };
    return more;
  }

  private async look(): Promise<void> {
    let more = false;
    try {
      more = await this.once();
    } catch (error) {
      if (!this.stopped) this.options.onFailed(error);
      return;
    }
    if (this.stopped) return;
    this.timer = setTimeout(() => void this.look(), more ? MORE_AFTER_MS : LOOK_EVERY_MS);
  }

  private tell({ to, fromSeq, toSeq, batches, digest }: ReducedRange): void {
    const { events, tell } = this.options;
    events.emit(to === 'pruned' ? 'samplesPruned' : 'samplesThinned', { fromSeq, toSeq }, batches);
    const which = `batches ${fromSeq} to ${toSeq}`;
    const text =
      to === 'pruned'
        ? `the store needed room: the samples of ${which} were dropped, every required store has them`
        : `the store is full: the samples of ${which} are kept as least, mean and greatest of each second`;
    tell(text, { to, fromSeq, toSeq, batches, digest });
  }

  private changed(level: StorageLevel, { daysLeft, availableBytes }: StoreStats): void {
    this.options.events.emit('storageLevel', { level, daysLeft, availableBytes });
    if (level !== 'low' || this.latest?.level === 'thinning') return;
    const left = `${Math.round((availableBytes ?? 0) / 1e6)} MB`;
    this.options.tell(`the store is running out of room: ${left} left${daysText(daysLeft)}`, { level });
  }
}

export function levelOf(stats: StoreStats): StorageLevel {
  const { availableBytes, capacityBytes, daysLeft, thinnedWaiting } = stats;
  if (thinnedWaiting || availableBytes === 0) return 'thinning';
  const share = availableBytes === null || !capacityBytes ? 1 : availableBytes / capacityBytes;
  return share < WARN_SHARE || (daysLeft !== null && daysLeft < WARN_DAYS) ? 'low' : 'ok';
}

/** ", enough for 3 days"; nothing where it is not known. */
export function daysText(daysLeft: number | null): string {
  if (daysLeft === null) return '';
  if (daysLeft < 1) {
    const hours = Math.floor(daysLeft * 24);
    return `, enough for ${hours < 1 ? 'less than an hour' : `${hours} h`}`;
  }
  const days = Math.floor(daysLeft);
  return `, enough for ${days} ${days === 1 ? 'day' : 'days'}`;
}
