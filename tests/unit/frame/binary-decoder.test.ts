import { describe, expect, it } from 'vitest';
import { BinaryDecoder } from '#core/frame/binary-decoder';
import { device, encoder, FOUR, frame, joined, rowsOf, samplesOf, weld } from './frame-support.ts';

describe('binary frames', () => {
  it('of 255 bytes are read, longer ones are too long', () => {
    const decoder = new BinaryDecoder();
    decoder.push(encoder('binary').announcementBytes, 0);
    decoder.push(
      joined(new Uint8Array(255).fill(1), Uint8Array.of(0), new Uint8Array(256).fill(1), Uint8Array.of(0)),
      0,
    );
    expect(decoder.counters).toMatchObject({ badCrc: 1, tooLong: 1, discardedBytes: 511 });
  });

  it('refuse values they cannot carry by saying unknown', () => {
    const enc = encoder('binary');
    const outputs = new BinaryDecoder().push(
      joined(enc.announcementBytes, enc.data(0, 10_000, [[4000, 24, 400, 7]])),
      0,
    );
    expect(rowsOf(outputs, FOUR)).toEqual([[0, 10_000, null, 24, null, 7]]);
  });

  it('carry their own interval where that was announced, and only there', () => {
    const own = encoder('binary', { ...device(), ownIntervals: true });
    const outputs = new BinaryDecoder().push(
      joined(own.announcementBytes, own.data(0, 9_999, [weld, weld]), own.data(19_998, 10_003, [weld])),
      0,
    );
    expect(rowsOf(outputs, []).map(([tUs, lengthUs]) => [tUs, lengthUs])).toEqual([
      [0, 9_999],
      [9_999, 9_999],
      [19_998, 10_003],
    ]);
    expect(() => encoder('binary').data(0, 9_999, [weld])).toThrow('is not the announced 10000');
  });

  // Common practice, no source: 11520 bytes a second at 115200 baud.
  it('are short: 20 bytes for one sample of four channels, 92 for ten', () => {
    const enc = encoder('binary');
    expect(enc.data(0x01020304, 10_000, [weld])).toHaveLength(20);
    expect(
      enc.data(
        0x01020304,
        10_000,
        Array.from({ length: 10 }, () => weld),
      ),
    ).toHaveLength(92);
  });

  it('count what is lost beyond a turn of the 8-bit counter by the time gone by', () => {
    const enc = encoder('binary');
    const decoder = new BinaryDecoder();
    decoder.push(joined(enc.announcementBytes, frame('binary', enc, 10, 0)), 0);
    decoder.push(frame('binary', enc, 10 + 301, 301 * 10_000), 0);
    expect(decoder.counters.lostFrames).toBe(300);
  });

  it('share no memory between chunks', () => {
    const enc = encoder('binary');
    const decoder = new BinaryDecoder();
    const first = samplesOf(decoder.push(joined(enc.announcementBytes, enc.data(0, 10_000, [weld])), 0));
    for (let k = 1; k < 3000; k++) decoder.push(enc.data(k * 10_000, 10_000, [[1, 1, 1, 1]]), 0);
    expect(first.columns.weldingCurrent![0]).toBe(236);
    expect(decoder.counters.samples).toBe(3000);
  });
});
