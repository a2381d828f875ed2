/** A small ext4 of its own, on which the power can be cut: what was not synced is gone after the next mount. */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';

const SIZE = 64 * 1024 * 1024;
/** Linux: EXT4_IOC_SHUTDOWN = _IOR('X', 125, __u32) with NOLOGFLUSH (2): all that is only in memory is lost. */
const SHUTDOWN = `
import fcntl, os, struct, sys
fd = os.open(sys.argv[1], os.O_RDONLY)
fcntl.ioctl(fd, 0x8004587D, struct.pack('I', 2))
`;

export interface LoopDisk {
  /** Where it is mounted. */
  readonly dir: string;
  /** From here on nothing reaches the disk; programs get errors. */
  cutPower(): void;
  /** Mounts again what the disk has; every program on it has to be gone. */
  powerUp(): void;
  remountReadOnly(): void;
}

function run(command: string, ...args: string[]): void {
  execFileSync(command, args, { stdio: ['ignore', 'ignore', 'pipe'] });
}

/** Mounted until the test ends. */
export function makeLoopDisk(): LoopDisk {
  const base = mkdtempSync(join(tmpdir(), 'girthlog-disk-'));
  const image = join(base, 'image');
  const dir = join(base, 'mount');
  mkdirSync(dir);
  writeFileSync(image, '');
  truncateSync(image, SIZE);
  run('mkfs.ext4', '-q', '-F', image);
  const mount = (): void => run('mount', '-o', 'loop', image, dir);
  let mounted = false;
  const unmount = (): void => {
    if (!mounted) return;
    // A program that is still ending must not keep the test's disk: then it goes when the last file is closed.
    run('umount', '-l', dir);
    mounted = false;
  };
  onTestFinished(() => {
    unmount();
    rmSync(base, { recursive: true, force: true });
  });
  mount();
  mounted = true;
  return {
    dir,
    cutPower: () => run('python3', '-c', SHUTDOWN, dir),
    powerUp: () => {
      run('umount', dir);
      mounted = false;
      mount();
      mounted = true;
    },
    remountReadOnly: () => run('mount', '-o', 'remount,ro', dir),
  };
}

/** A file system in memory that is full after `bytes`; gone with the test. */
export function makeSmallDisk(bytes: number): string {
  const dir = mkdtempSync(join(tmpdir(), 'girthlog-small-'));
  run('mount', '-t', 'tmpfs', '-o', `size=${bytes},mode=700`, 'girthlog-test', dir);
  onTestFinished(() => {
    run('umount', '-l', dir);
    rmSync(dir, { recursive: true, force: true });
  });
  return dir;
}

/** For `describe.skipIf`: why no file system can be mounted here is said in one sentence. */
export function noMounts(): boolean {
  const missing = whatIsMissing();
  if (missing === null) return false;
  process.stderr.write(`skipped, file systems of their own cannot be mounted here: ${missing}\n`);
  return true;
}

function whatIsMissing(): string | null {
  if (process.getuid?.() !== 0) return 'this needs root';
  if (!existsSync('/dev/loop-control')) return 'there is no /dev/loop-control';
  for (const command of ['mkfs.ext4', 'mount', 'umount', 'python3']) {
    try {
      run('sh', '-c', `command -v ${command}`);
    } catch {
      return `${command} is not installed`;
    }
  }
  // A container may have the device and not the right.
  const base = mkdtempSync(join(tmpdir(), 'girthlog-disk-'));
  try {
    const image = join(base, 'image');
    writeFileSync(image, '');
    truncateSync(image, 8 * 1024 * 1024);
    run('mkfs.ext4', '-q', '-F', image);
    mkdirSync(join(base, 'mount'));
    run('mount', '-o', 'loop', image, join(base, 'mount'));
    run('umount', join(base, 'mount'));
    return null;
  } catch (error) {
    return (error as Error).message.split('\n').at(-2) ?? 'mount is refused';
  } finally {
    rmSync(base, { recursive: true, force: true });
  }
}
