/** Lines as proc_locks(5) of Linux man-pages 6.03 describes them, the first three from its example. */
import { mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { holdersOf, parseLocks } from '#core/program/file-locks';

const LOCKS = `1: POSIX  ADVISORY  READ  5433 08:01:7864448 128 128
2: FLOCK  ADVISORY  WRITE 2001 08:01:7864554 0 EOF
3: FLOCK  ADVISORY  WRITE 1568 00:2f:32388 0 EOF
3: -> FLOCK  ADVISORY  WRITE 1600 00:2f:32388 0 EOF
4: OFDLCK ADVISORY  READ -1 08:01:8713209 128 191
`;

it('reads every lock that is held, and none that waits', () => {
  expect(parseLocks(LOCKS).map(({ kind, pid, isWrite }) => [kind, pid, isWrite])).toEqual([
    ['POSIX', 5433, false],
    ['FLOCK', 2001, true],
    ['FLOCK', 1568, true],
    ['OFDLCK', -1, false],
  ]);
  expect(parseLocks('')).toEqual([]);
});

it('finds a file by its device and number', () => {
  // makedev(3): 8:1 is 0x801, 0:0x2f is 0x2f.
  expect(holdersOf(parseLocks(LOCKS), { dev: 0x801, ino: 7864554 }).map(({ pid }) => pid)).toEqual([2001]);
  expect(holdersOf(parseLocks(LOCKS), { dev: 0x2f, ino: 32388 }).map(({ pid }) => pid)).toEqual([1568]);
  expect(holdersOf(parseLocks(LOCKS), { dev: 0x801, ino: 32388 })).toEqual([]);
});

it('splits the number of a device as the kernel does', () => {
  const folder = mkdtempSync(join(tmpdir(), 'girthlog-test-'));
  const file = join(folder, 'file');
  writeFileSync(file, '');
  const { dev, ino } = statSync(file);
  rmSync(folder, { recursive: true });
  // gnu_dev_major and gnu_dev_minor of glibc 2.36, sysmacros.h.
  const wide = BigInt(dev);
  const major = ((wide >> 8n) & 0xfffn) | ((wide >> 32n) & ~0xfffn);
  const minor = (wide & 0xffn) | ((wide >> 12n) & ~0xffn);
  const hex = (part: bigint): string => part.toString(16).padStart(2, '0');
  const line = `1: POSIX  ADVISORY  WRITE 42 ${hex(major)}:${hex(minor)}:${ino} 0 EOF\n`;
  expect(holdersOf(parseLocks(line), { dev, ino })).toHaveLength(1);
});
