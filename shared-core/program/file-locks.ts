/** Who holds a file: what the kernel lists in /proc/locks. */

export interface FileLock {
  readonly kind: 'FLOCK' | 'POSIX' | 'OFDLCK' | 'LEASE';
  readonly pid: number;
  readonly isWrite: boolean;
  /** Of the file system, as two hexadecimal numbers. */
  readonly device: string;
  readonly inode: number;
}

const LINE = /^\d+: (FLOCK|POSIX|OFDLCK|LEASE) +\S+ +(READ|WRITE) +(-?\d+) +([0-9a-f]+:[0-9a-f]+):(\d+) /;

/** Locks that are held; ones that wait (`->`) are left out. */
export function parseLocks(text: string): FileLock[] {
  return text.split('\n').flatMap(line => {
    const [, kind, access, pid, device, inode] = LINE.exec(line) ?? [];
    if (kind === undefined) return [];
    return [
      {
        kind: kind as FileLock['kind'],
        pid: Number(pid),
        isWrite: access === 'WRITE',
        device: device!,
        inode: Number(inode),
      },
    ];
  });
}

/** The holders of the file with this number on this device (`dev` as stat(2) gives it). */
export function holdersOf(
  locks: readonly FileLock[],
  file: { readonly dev: number; readonly ino: number },
): FileLock[] {
  // Linux packs 12 bits of major and 20 bits of minor; the kernel prints both in hexadecimal.
  const major = (file.dev >>> 8) & 0xfff;
  const minor = (file.dev & 0xff) | ((file.dev >>> 12) & 0xfff00);
  const hex = (value: number): string => value.toString(16).padStart(2, '0');
  const device = `${hex(major)}:${hex(minor)}`;
  return locks.filter(lock => lock.inode === file.ino && lock.device === device);
}
