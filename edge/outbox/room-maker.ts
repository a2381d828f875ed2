/**
 * Keeps the store within its budget: measures, lets old samples give way (retention.ts) and holds the ballast that
 * makes that possible on a full disk. Recording is never refused here; what the disk itself refuses is tried again.
 */
import { statfsSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { BALLAST_BYTES, Ballast } from './ballast.ts';
import { type DiskSpace, type Room, roomOf, type StoreBudget } from './disk-room.ts';
import type { SqliteDatabase } from './outbox-database.ts';
import type { PendingBatch, ReducedRange, RoomMade, StoreStats } from './outbox-types.ts';
import type { Retention } from './retention.ts';
import type { Statements } from './statements.ts';
import { WriteRate } from './write-rate.ts';

/** A batch's row without its body. */
const ROW_BYTES = 300;
/** On a disk this full a database cannot even be opened. */
const OPEN_NEEDS_BYTES = 256 * 1024;
/** Slices for one write on a full disk: then it is the next one's turn. */
const SLICES_AT_ONCE = 10;
/** Less free than the log may take (disk-room.ts): from here on it is emptied after every write. */
const TIGHT_BYTES = 4 * 1024 * 1024;
const LEAD_BYTES = 256 * 1024;

export interface RoomMakerOptions {
  readonly path: string;
  /** Default: the file system less its reserve. */
  readonly budget?: StoreBudget;
  readonly monotonicMs: () => number;
  /** Null when the file system does not say. Default: the file system of `path`. */
  readonly disk?: () => DiskSpace | null;
}

/** Where cursors and chain stand. */
export interface Standing {
  readonly watermark: number;
  readonly lastSeq: number;
}

export interface OpenedFile {
  readonly db: SqliteDatabase;
  readonly statements: Statements;
  readonly retention: Retention;
}

export class RoomMaker {
  private readonly path: string;
  private readonly budget: StoreBudget;
  private readonly disk: () => DiskSpace | null;
  private readonly ballast: Ballast;
  private readonly rate: WriteRate;
  private file: OpenedFile | null = null;
  /** Room ran out and the target is not reached yet. */
  private making = false;
  /** What gave way inside an append, told with the next call. */
  private untold: ReducedRange[] = [];

  constructor(options: RoomMakerOptions) {
    const { path, monotonicMs } = options;
    this.path = path;
    this.budget = options.budget ?? { budgetBytes: null, reserveBytes: null };
    this.disk = options.disk ?? (() => diskSpaceAt(path));
    this.ballast = new Ballast(path);
    this.rate = new WriteRate(monotonicMs);
  }

  beforeOpen(): void {
    const disk = this.disk();
    if (disk && disk.freeBytes < OPEN_NEEDS_BYTES) this.ballast.release();
  }

  opened(file: OpenedFile): void {
    this.file = file;
    this.remakeBallast();
  }

  closed(): void {
    this.file = null;
  }

  /** One slice of work, if there is need. Throws what SQLite throws. */
  makeRoom(standing: Standing): RoomMade {
    const reduced = this.untold.splice(0);
    const room = this.room();
    if (!room || !this.file) return { reduced, more: false };
    if (room.roomBytes < room.leastBytes) this.making = true;
    else if (room.roomBytes >= room.targetBytes) this.making = false;
    if (!this.making) {
      this.remakeBallast();
      return { reduced, more: false };
    }
    const slice = this.file.retention.slice(standing.watermark, standing.lastSeq);
    if (slice?.reduced) reduced.push(slice.reduced);
    return { reduced, more: slice !== null };
  }

  /**
   * Before anything is written to a disk that is all but full: pages inside the file for what comes, since it cannot grow. Then
   * the log, which must be carried into the file before it is written anew, never holds pages that have no place.
   */
  beforeWrite(batches: readonly PendingBatch[], standing: Standing): void {
    if (batches.length === 0 || !this.isTight()) return;
    const needed = LEAD_BYTES + 2 * bytesOf(batches);
    for (let n = 0; n < SLICES_AT_ONCE && this.use().reusableBytes < needed; n++) {
      if (!this.giveWay(standing)) return;
    }
  }

  afterWrite(batches: readonly PendingBatch[]): void {
    if (batches.length > 0) this.rate.add(bytesOf(batches));
    if (this.isTight() && !this.emptyLog() && this.ballast.release()) this.emptyLog();
  }

  /** The disk refused a write: lets go of the ballast and of samples. True when another attempt may do. */
  makeRoomOnFullDisk(standing: Standing): boolean {
    this.making = true;
    const released = this.ballast.release();
    this.emptyLog();
    let gaveWay = false;
    for (let n = 0; n < SLICES_AT_ONCE && this.giveWay(standing); n++) gaveWay = true;
    this.emptyLog();
    return released || gaveWay;
  }

  /** One slice, told with the next call; false where there is none or the disk refuses that too. */
  private giveWay(standing: Standing): boolean {
    try {
      const { watermark, lastSeq } = standing;
      const retention = this.file?.retention;
      const slice = retention?.slice(watermark, lastSeq) ?? retention?.slice(watermark, lastSeq, true);
      if (slice?.reduced) this.untold.push(slice.reduced);
      return slice != null;
    } catch {
      return false;
    }
  }

  /** Carries the log into the file, so that its own space is written again; false when the disk has no room for it. */
  private emptyLog(): boolean {
    try {
      this.file?.db.pragma('wal_checkpoint(RESTART)');
      return true;
    } catch {
      return false;
    }
  }

  private isTight(): boolean {
    const disk = this.disk();
    return disk !== null && disk.freeBytes < TIGHT_BYTES;
  }

  stats(standing: Standing): StoreStats {
    const { watermark, lastSeq } = standing;
    const { path } = this;
    const disk = this.disk();
    const use = this.use();
    const room = roomOf(this.budget, use, disk);
    const pointers = this.file?.retention.pointers;
    const prunable = this.file?.retention.prunable(watermark, lastSeq) ?? 0;
    const firstWhole = this.file?.retention.firstWhole ?? 1;
    const whole = Math.max(1, lastSeq - firstWhole + 1);
    const sampleBytes = Math.max(0, (use.usedBytes - lastSeq * ROW_BYTES) / whole);
    const capacity = room ? Math.round(room.capacityBytes) : null;
    const available = room ? Math.max(0, Math.round(room.roomBytes + prunable * sampleBytes)) : null;
    const perDay = this.rate.bytesPerDay();
    return {
      bytes: sizeOf(path) + use.logBytes + this.ballast.bytes,
      freeBytes: disk?.freeBytes ?? null,
      availableBytes: available === null || capacity === null ? null : Math.min(available, capacity),
      capacityBytes: capacity,
      daysLeft: available === null || !perDay ? null : available / perDay,
      oldestWholeUs: this.file?.statements.closedAt.get(firstWhole) ?? null,
      thinned: pointers?.thinned ?? 0,
      pruned: pointers?.pruned ?? 0,
      thinnedWaiting: (pointers?.thinnedUpto ?? 0) > watermark && (pointers?.thinned ?? 0) > 0,
      ballast: this.ballast.ready ? 'ready' : 'released',
    };
  }

  private room(): Room | null {
    return roomOf(this.budget, this.use(), this.disk());
  }

  private use(): { usedBytes: number; reusableBytes: number; logBytes: number } {
    const number = (name: string): number => Number(this.file?.db.pragma(name, { simple: true }) ?? 0);
    const page = number('page_size');
    const reusable = number('freelist_count') * page;
    return {
      usedBytes: number('page_count') * page - reusable + this.ballast.bytes,
      reusableBytes: reusable,
      logBytes: sizeOf(`${this.path}-wal`),
    };
  }

  private remakeBallast(): void {
    if (this.ballast.ready) return;
    const disk = this.disk();
    // Twice its size: it must not take the last of what it is there to give.
    if (!disk || disk.freeBytes > 2 * BALLAST_BYTES) this.ballast.make();
  }
}

function bytesOf(batches: readonly PendingBatch[]): number {
  return batches.reduce((sum, { body }) => sum + body.length + ROW_BYTES, 0);
}

/** Of the file system that holds `path`. */
export function diskSpaceAt(path: string): DiskSpace | null {
  try {
    const fs = statfsSync(dirname(path));
    return { freeBytes: fs.bavail * fs.bsize, totalBytes: fs.blocks * fs.bsize };
  } catch {
    return null;
  }
}

function sizeOf(path: string): number {
  return statSync(path, { throwIfNoEntry: false })?.size ?? 0;
}
