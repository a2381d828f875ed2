/** How much of the disk the store may take, and how much of that is left. Pure. */

const MIB = 1024 * 1024;
/** Kept free of samples: room to close what is open and to say what happened. */
const RESERVE_LEAST = 64 * MIB;
const RESERVE_SHARE = 0.05;
/** On a small file system the reserve must not be most of it. */
const RESERVE_MOST_SHARE = 0.25;
/** The log beside the store is cut back to this (journal_size_limit); up to it the disk must have room. */
const LOG_BYTES = 4 * MIB;
/** Once room is made, this much at once: the work comes in batches, not with every batch. */
const TARGET_SHARE = 0.02;
const TARGET_LEAST = 512 * 1024;
/** Begun this far before there is none: what is written meanwhile must find room too. */
const LEAD_BYTES = 256 * 1024;

export interface DiskSpace {
  readonly freeBytes: number;
  readonly totalBytes: number;
}

export interface StoreBudget {
  /** Of store, log and ballast; null: whatever the file system has, less the reserve. */
  readonly budgetBytes: number | null;
  /** Of the file system, left to others and to the last words; null: 64 MiB or 5 %, at most a quarter. */
  readonly reserveBytes: number | null;
}

export interface StoreUse {
  /** Pages in use, ballast included. */
  readonly usedBytes: number;
  /** Free pages inside the file: written again before it grows. */
  readonly reusableBytes: number;
  readonly logBytes: number;
}

export interface Room {
  /** May be negative. */
  readonly roomBytes: number;
  readonly capacityBytes: number;
  /** Below this room has to be made, until there is `targetBytes`. */
  readonly leastBytes: number;
  readonly targetBytes: number;
}

export function reserveOf({ reserveBytes }: StoreBudget, disk: DiskSpace): number {
  return (
    reserveBytes ??
    Math.min(Math.max(RESERVE_LEAST, RESERVE_SHARE * disk.totalBytes), RESERVE_MOST_SHARE * disk.totalBytes)
  );
}

/** Null where neither a budget is set nor the file system says how full it is. */
export function roomOf(budget: StoreBudget, use: StoreUse, disk: DiskSpace | null): Room | null {
  const { budgetBytes } = budget;
  const rooms: number[] = [];
  if (disk) rooms.push(disk.freeBytes + use.reusableBytes - reserveOf(budget, disk));
  if (budgetBytes !== null) {
    const log = Math.max(use.logBytes, Math.min(LOG_BYTES, budgetBytes / 4));
    rooms.push(budgetBytes - log - use.usedBytes);
  }
  if (rooms.length === 0) return null;
  const roomBytes = Math.min(...rooms);
  const capacityBytes = Math.max(0, use.usedBytes + roomBytes);
  const targetBytes = Math.max(TARGET_LEAST, TARGET_SHARE * capacityBytes);
  return { roomBytes, capacityBytes, leastBytes: LEAD_BYTES, targetBytes };
}
