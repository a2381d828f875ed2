import { describe, expect, it } from 'vitest';
import {
  readTarHeader,
  TAR_BLOCK,
  tarHeader,
  tarPadding,
} from '../../../dashboard/server/backup/tar-format.ts';

describe('tar header', () => {
  it('is as IEEE Std 1003.1 (pax, ustar interchange format) lays it out', () => {
    const block = tarHeader({ name: 'dashboard.sqlite3', bytes: 0o1234 }, 0);
    expect(block).toHaveLength(TAR_BLOCK);
    // Offsets of the standard: name 0, size 124, checksum 148, typeflag 156, magic 257, version 263.
    expect(block.toString('latin1', 124, 136)).toBe('00000001234\0');
    expect(block.toString('latin1', 156, 157)).toBe('0');
    expect(block.toString('latin1', 257, 265)).toBe('ustar\x0000');
    let sum = 0;
    block.forEach((byte, i) => {
      sum += i >= 148 && i < 156 ? 32 : byte;
    });
    expect(Number.parseInt(block.toString('latin1', 148, 154), 8)).toBe(sum);
  });

  it('reads back what it wrote, also beyond 8 GiB', () => {
    for (const bytes of [0, 1, 512, 8 * 2 ** 30 - 1, 8 * 2 ** 30, 2 ** 45]) {
      expect(readTarHeader(tarHeader({ name: 'a/b.key', bytes }, 1e9))).toEqual({ name: 'a/b.key', bytes });
    }
    expect(readTarHeader(Buffer.alloc(TAR_BLOCK))).toBeNull();
    expect([0, 1, 511, 512, 513].map(tarPadding)).toEqual([0, 511, 1, 0, 511]);
  });

  it('refuses a changed header, and anything that is no plain file', () => {
    const block = tarHeader({ name: 'a', bytes: 3 }, 0);
    block[124] = 0x31;
    expect(() => readTarHeader(block)).toThrow(/checksum/);
    expect(() => tarHeader({ name: 'n'.repeat(101), bytes: 0 }, 0)).toThrow(/too long/);
  });
});
