import { describe, expect, it } from 'vitest';
import { cobsDecode, cobsEncode } from '#core/frame/cobs';

const range = (from: number, to: number): number[] =>
  Array.from({ length: to - from + 1 }, (_, i) => from + i);

/**
 * Wikipedia, "Consistent Overhead Byte Stuffing", encoding examples, without the delimiter; the method is
 * Cheshire & Baker, IEEE/ACM Transactions on Networking 7(2), 1999. Inputs typed from memory, outputs recomputed.
 */
const EXAMPLES: readonly [string, number[], number[]][] = [
  ['00', [0], [1, 1]],
  ['00 00', [0, 0], [1, 1, 1]],
  ['00 11 00', [0, 0x11, 0], [1, 2, 0x11, 1]],
  ['11 22 00 33', [0x11, 0x22, 0, 0x33], [3, 0x11, 0x22, 2, 0x33]],
  ['11 22 33 44', [0x11, 0x22, 0x33, 0x44], [5, 0x11, 0x22, 0x33, 0x44]],
  ['11 00 00 00', [0x11, 0, 0, 0], [2, 0x11, 1, 1, 1]],
  ['01 … FE', range(1, 254), [0xff, ...range(1, 254)]],
  ['00 … FE', range(0, 254), [1, 0xff, ...range(1, 254)]],
  ['01 … FF', range(1, 255), [0xff, ...range(1, 254), 2, 0xff]],
  ['02 … FF 00', [...range(2, 255), 0], [0xff, ...range(2, 255), 1, 1]],
  ['03 … FF 00 01', [...range(3, 255), 0, 1], [0xfe, ...range(3, 255), 2, 1]],
];

describe('cobs', () => {
  it.each(EXAMPLES)('%s', (_name, plain, coded) => {
    expect([...cobsEncode(Uint8Array.from(plain))]).toEqual(coded);
    expect([...cobsDecode(Uint8Array.from(coded))!]).toEqual(plain);
  });

  it('encodes nothing as one byte', () => {
    expect([...cobsEncode(new Uint8Array())]).toEqual([1]);
    expect([...cobsDecode(Uint8Array.of(1))!]).toEqual([]);
  });

  it.each([
    ['nothing', []],
    ['a zero', [2, 0]],
    ['a zero code', [0]],
    ['a run past the end', [5, 1, 2]],
  ])('refuses %s', (_name, coded) => {
    expect(cobsDecode(Uint8Array.from(coded))).toBeNull();
  });
});
