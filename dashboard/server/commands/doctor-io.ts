/** How the dashboard's doctor asks this machine. */
import { execFile } from 'node:child_process';
import { closeSync, existsSync, fsyncSync, openSync, rmSync, statfsSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import type { MachineIo } from '#core/program/machine-findings';

const COMMAND_LIMIT_MS = 5000;
const BLOCK = Buffer.alloc(4096, 0x55);

export const machineIo: MachineIo = {
  run: (command, args) =>
    new Promise(resolve => {
      execFile(command, [...args], { timeout: COMMAND_LIMIT_MS }, (error, stdout) =>
        resolve(error ? null : stdout),
      );
    }),
  statfs: folder => {
    try {
      const { type, bsize, bavail, blocks } = statfsSync(folder);
      return { type, freeBytes: bavail * bsize, totalBytes: blocks * bsize };
    } catch {
      return null;
    }
  },
  syncTimes,
  exists: existsSync,
  wallMs: () => Date.now(),
};

/** In a file of its own that is gone afterwards; the store is not touched. */
function syncTimes(folder: string, count: number): number[] | string {
  const file = join(folder, `.doctor-${process.pid}`);
  try {
    const handle = openSync(file, 'wx', 0o600);
    try {
      return Array.from({ length: count }, () => {
        const startedMs = performance.now();
        writeSync(handle, BLOCK);
        fsyncSync(handle);
        return performance.now() - startedMs;
      });
    } finally {
      closeSync(handle);
      rmSync(file, { force: true });
    }
  } catch (error) {
    return (error as NodeJS.ErrnoException).code ?? String(error);
  }
}
