/** A file system that can be filled, for what has to happen when one is full. */
import { execFileSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';

function mount(bytes: number): string {
  const dir = mkdtempSync(join(tmpdir(), 'girthlog-full-'));
  try {
    const options = `size=${bytes},mode=700`;
    execFileSync('mount', ['-t', 'tmpfs', '-o', options, 'girthlog-test', dir], { stdio: 'pipe' });
  } catch (error) {
    rmSync(dir, { recursive: true, force: true });
    throw error;
  }
  return dir;
}

function unmount(dir: string): void {
  execFileSync('umount', ['-l', dir], { stdio: 'pipe' });
  rmSync(dir, { recursive: true, force: true });
}

/** For `describe.skipIf`: no file system can be mounted. With CI=true that fails. */
export function mountsMissing(): boolean {
  try {
    unmount(mount(1024 * 1024));
    return false;
  } catch (error) {
    const why = 'a small file system cannot be mounted: run as root with the right to mount';
    if (process.env['CI'] === 'true') throw new Error(`${why}: ${(error as Error).message}`);
    process.stderr.write(`skipped, ${why}\n`);
    return true;
  }
}

/** Full after `bytes`; gone with the test. */
export function smallDisk(bytes: number): string {
  const dir = mount(bytes);
  onTestFinished(() => unmount(dir));
  return dir;
}

/** Takes every byte that is left. */
export function fillUp(file: string): void {
  const handle = openSync(file, 'a');
  try {
    for (let size = 64 * 1024; size >= 1024; ) {
      try {
        writeSync(handle, Buffer.alloc(size));
      } catch (error) {
        if ((error as NodeJS.ErrnoException).code !== 'ENOSPC') throw error;
        size /= 2;
      }
    }
  } finally {
    closeSync(handle);
  }
}
