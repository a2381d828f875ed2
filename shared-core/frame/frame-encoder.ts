/**
 * A device's side of the line: keeps the frame counter and turns values in announced units into frames.
 * For the simulator and the tests; real devices do this in C (docs/serial.md).
 */
import { encodeBinaryAnnouncement, encodeBinaryData } from './binary-encoder.ts';
import type { DeviceAnnouncement, DeviceChannel } from './device-announcement.ts';
import { encodeTextAnnouncement, encodeTextData } from './text-encoder.ts';

export class FrameEncoder {
  readonly announcement: DeviceAnnouncement;
  /** The bytes to send at the start and at least every 2 s. */
  readonly announcementBytes: Uint8Array;
  readonly tag: number;
  private readonly format: 'text' | 'binary';
  private counter = 0;

  /** Throws RangeError where the announcement does not fit the form. */
  constructor(format: 'text' | 'binary', announcement: DeviceAnnouncement) {
    this.format = format;
    this.announcement = announcement;
    const encode = format === 'text' ? encodeTextAnnouncement : encodeBinaryAnnouncement;
    const { bytes, tag } = encode(announcement);
    this.announcementBytes = bytes;
    this.tag = tag;
  }

  /** The counter of the next data frame. */
  get nextCounter(): number {
    return this.counter;
  }

  /** A frame that is made and never sent: to the reader it is lost. */
  skipFrames(count: number): void {
    this.counter = (this.counter + count) & 0xffff;
  }

  /**
   * Samples of equal length, the first beginning at device time `tUs` (any size; wraps at 2^32).
   * Each sample: values in the announced units and order, null or NaN for unknown; a value the frame cannot
   * carry is unknown. Text: one line a sample, each with its own counter. Binary: one frame, `lengthUs` the
   * announced period unless `ownIntervals`. Throws RangeError where they do not fit.
   */
  data(tUs: number, lengthUs: number, samples: readonly (readonly (number | null)[])[]): Uint8Array {
    const { channels } = this.announcement;
    const raw = samples.map(sample => channels.map((channel, i) => rawOf(channel, sample[i] ?? null)));
    if (this.format === 'binary') {
      return encodeBinaryData(this.announcement, this.tag, this.take(), tUs, lengthUs, raw);
    }
    const lines = raw.map((values, k) =>
      encodeTextData(this.tag, this.take(), tUs + k * lengthUs, lengthUs, values),
    );
    const all = new Uint8Array(lines.reduce((sum, line) => sum + line.length, 0));
    let at = 0;
    for (const line of lines) {
      all.set(line, at);
      at += line.length;
    }
    return all;
  }

  private take(): number {
    const { counter } = this;
    this.counter = (counter + 1) & 0xffff;
    return counter;
  }
}

function rawOf({ scale, width }: DeviceChannel, value: number | null): number | null {
  if (value === null) return null;
  const raw = Math.round(value / scale) + 0;
  const top = width === 2 ? 0x7fff : 0x7fff_ffff;
  return Math.abs(raw) <= top ? raw : null;
}
