/**
 * A file of 2 MiB that only holds its place: on a full disk even deleting fails for want of room (SQLITE_FULL), so it
 * is let go first. Written, not sparse, and made again when there is room.
 */
import { closeSync, fsyncSync, openSync, rmSync, statSync, writeSync } from 'node:fs';

export const BALLAST_BYTES = 2 * 1024 * 1024;
const BLOCK = 64 * 1024;

export class Ballast {
  private readonly path: string;

  constructor(storePath: string) {
    this.path = `${storePath}.ballast`;
  }

  get bytes(): number {
    return statSync(this.path, { throwIfNoEntry: false })?.size ?? 0;
  }

  get ready(): boolean {
    return this.bytes === BALLAST_BYTES;
  }

  /** True when it stands; false when there is no room for it, and then none of it is left. */
  make(): boolean {
    if (this.ready) return true;
    let file: number | null = null;
    try {
      file = openSync(this.path, 'w', 0o600);
      // Not zeros: a file system that compresses would hold no place for them.
      const block = Buffer.from(Uint32Array.from({ length: BLOCK / 4 }, (_, i) => i * 2_654_435_761).buffer);
      for (let written = 0; written < BALLAST_BYTES; written += BLOCK) writeSync(file, block);
      fsyncSync(file);
      return true;
    } catch {
      this.release();
      return false;
    } finally {
      if (file !== null) closeSync(file);
    }
  }

  /** True when there was some. */
  release(): boolean {
    const held = this.bytes > 0;
    rmSync(this.path, { force: true });
    return held;
  }
}
