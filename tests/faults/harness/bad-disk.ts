/** A disk that can be made slow, full or faulty while a program runs, by a small library put before libc. */
import { execFileSync } from 'node:child_process';
import { existsSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { isMissing } from '../../support/programs.ts';
import { tempDir } from '../../support/temp-dir.ts';

/** For `describe.skipIf`: the library cannot be compiled here. */
export const compilerMissing = isMissing('g++', 'apt-get install g++');

export interface DiskFault {
  readonly SYNC_MS?: number;
  readonly STALL_MS?: number;
  readonly STALL_EVERY?: number;
  readonly SYNC_EIO?: 1;
  readonly WRITE_EIO?: 1;
  readonly WRITE_ENOSPC?: 1;
}

export interface BadDisk {
  /** Environment of the program whose disk it is. */
  readonly env: Readonly<Record<string, string>>;
  on(): void;
  off(): void;
}

/** For files whose path contains `path`; off at first. */
export function makeBadDisk(path: string, fault: DiskFault): BadDisk {
  const dir = tempDir();
  const library = join(dir, 'bad-disk.so');
  const source = join(import.meta.dirname, 'bad-disk.c');
  execFileSync('gcc', ['-shared', '-fPIC', '-O1', '-o', library, source, '-ldl']);
  const active = join(dir, 'on');
  return {
    env: {
      LD_PRELOAD: library,
      BAD_DISK_PATH: path,
      BAD_DISK_SWITCH: active,
      ...Object.fromEntries(
        Object.entries(fault).map(([name, value]) => [`BAD_DISK_${name}`, String(value)]),
      ),
    },
    on: () => writeFileSync(active, ''),
    off: () => {
      if (existsSync(active)) rmSync(active);
    },
  };
}
