/**
 * Push decoder of the binary form: bytes in any pieces → samples, announcements, counted discards.
 *
 * Hot path (docs/serial.md, `npm run bench`): no object per sample or frame; a frame that came in one piece
 * is not copied; it is checked eight bytes a step, un-stuffed in place and put back, and written column by column.
 */
import { parseBinaryAnnouncement } from './binary-announcement.ts';
import {
  ANNOUNCEMENT_MARK,
  CHECKSUM_BYTES,
  DATA,
  MAX_BODY,
  OWN_INTERVAL_BYTES,
  tagOf,
} from './binary-layout.ts';
import { BinarySamples, int32 } from './binary-samples.ts';
import { crc16 } from './crc16.ts';
import { type FrameLayout, layoutOf, MAX_INTERVAL_US } from './device-announcement.ts';
import { newFrameCounters } from './frame-counters.ts';
import type { DecoderOutput, FrameDecoder } from './frame-decoder.ts';
import { FrameSequence } from './frame-sequence.ts';
import { InPlaceCobs } from './in-place-cobs.ts';

type Discard = 'badCrc' | 'tooLong' | 'malformed' | 'unknownVersion';

/** Shortest body: one COBS byte, one byte of content, the checksum. */
const MIN_BODY = 2 + CHECKSUM_BYTES;

export class BinaryDecoder implements FrameDecoder {
  readonly counters = newFrameCounters();
  readonly ownTime = true;
  private readonly sequence = new FrameSequence(this.counters, 8);
  /** The beginning of a frame whose end is still to come: `length` bytes kept of `seen`. */
  private readonly carried = new Uint8Array(MAX_BODY);
  private readonly cobs = new InPlaceCobs();
  private length = 0;
  private seen = 0;
  private synced = false;
  private tag = -1;
  private boot = -1;
  private layout: FrameLayout | null = null;
  private samplePeriodUs = 0;
  private ownIntervals = false;
  private samples = new BinarySamples([], 1, this.counters);
  private outputs: DecoderOutput[] = [];

  push(bytes: Uint8Array, _arrivalUs: number): DecoderOutput[] {
    this.outputs = [];
    // One kind of array, whatever kind of Uint8Array comes.
    const input = new Uint8Array(bytes.buffer, bytes.byteOffset, bytes.length);
    const end = input.length;
    let from = 0;
    for (let i = input.indexOf(0); i >= 0; i = input.indexOf(0, from)) {
      if (this.seen > 0) {
        this.carry(input, from, i);
        this.endFrame(this.carried, 0, this.length, this.seen);
        this.length = 0;
        this.seen = 0;
      } else if (i > from) this.endFrame(input, from, i, i - from);
      from = i + 1;
    }
    if (from < end) this.carry(input, from, end);
    this.flush();
    return this.outputs;
  }

  /** Keeps what belongs to a frame that ends in a later push. */
  private carry(input: Uint8Array, from: number, to: number): void {
    const { carried } = this;
    this.seen += to - from;
    // Bytes beyond the longest frame are only counted.
    const end = Math.min(to, from + carried.length - this.length);
    let { length } = this;
    for (let i = from; i < end; i++) carried[length++] = input[i]!;
    this.length = length;
  }

  finish(): DecoderOutput[] {
    return this.push(Uint8Array.of(0), 0);
  }

  reset(): void {
    this.length = 0;
    this.seen = 0;
    this.synced = false;
    this.sequence.reset();
  }

  private flush(): void {
    const chunk = this.samples.take();
    if (chunk === null) return;
    this.counters.samples += chunk.n;
    this.outputs.push({ kind: 'samples', chunk });
  }

  private endFrame(bytes: Uint8Array, from: number, to: number, seen: number): void {
    const reason = seen > MAX_BODY ? 'tooLong' : this.readFrame(bytes, from, to);
    if (reason !== null) {
      const { counters } = this;
      counters.discardedBytes += seen;
      // The rest of a frame whose beginning was before we listened is no fault of the line.
      if (!this.synced) counters.skippedBytes += seen;
      else counters[reason]++;
    }
    this.synced = true;
  }

  private readFrame(bytes: Uint8Array, from: number, to: number): Discard | null {
    if (to - from < MIN_BODY) return 'malformed';
    const end = to - CHECKSUM_BYTES;
    const b0 = bytes[end]!;
    const b1 = bytes[end + 1]!;
    const b2 = bytes[end + 2]!;
    if ((b0 & 0xfc) !== 0x80 || (b1 & 0x80) === 0 || (b2 & 0x80) === 0) return 'badCrc';
    const crc = ((b0 & 0x03) << 14) | ((b1 & 0x7f) << 7) | (b2 & 0x7f);
    if (crc !== crc16(bytes, from, end)) return 'badCrc';
    const codes = this.cobs.undo(bytes, from, end);
    if (codes < 0) return 'malformed';
    const reason = this.readContent(bytes, from + 1, end, crc);
    this.cobs.redo(bytes, from, codes);
    return reason;
  }

  /** The content is bytes[from…end): the offsets of binary-layout.ts. */
  private readContent(bytes: Uint8Array, from: number, end: number, crc: number): Discard | null {
    if (end - from < DATA.samples) return 'malformed';
    const tag = bytes[from + DATA.tag]! | (bytes[from + DATA.tag + 1]! << 8);
    if (tag !== ANNOUNCEMENT_MARK) return this.readData(bytes, from, end, tag);
    return this.readAnnouncement(bytes.subarray(from, end), tagOf(crc));
  }

  private readAnnouncement(content: Uint8Array, tag: number): Discard | null {
    const device = parseBinaryAnnouncement(content);
    if (device === 'unknownVersion') this.counters.frames++;
    if (typeof device === 'string') return device;
    this.counters.frames++;
    this.counters.announcements++;
    if (this.layout !== null && tag === this.tag) return null;
    this.flush();
    const layout = layoutOf(device, 'binary');
    this.counters.unknownChannel += layout.unknown;
    if (this.boot >= 0 && this.boot !== device.boot) {
      this.counters.restarts++;
      this.sequence.reset();
      this.outputs.push({ kind: 'restart', cause: 'bootChanged' });
    }
    this.boot = device.boot;
    this.tag = tag;
    this.layout = layout;
    this.samplePeriodUs = device.samplePeriodUs;
    this.ownIntervals = device.ownIntervals ?? false;
    this.samples = new BinarySamples(
      layout.fields,
      this.ownIntervals ? 'each' : device.samplePeriodUs,
      this.counters,
    );
    this.outputs.push({ kind: 'announce', announcement: layout.announcement });
    return null;
  }

  private readData(bytes: Uint8Array, from: number, end: number, tag: number): Discard | null {
    const { counters, layout, ownIntervals } = this;
    const { stride } = this.samples;
    if (layout === null || tag !== this.tag) {
      counters.frames++;
      counters.beforeAnnounce++;
      return null;
    }
    const first = from + DATA.samples + (ownIntervals ? OWN_INTERVAL_BYTES : 0);
    // | 0: a whole number to the engine as well, here and in everything counted from it.
    const count = ((end - first) / stride) | 0;
    if (count < 1 || count * stride !== end - first) return 'malformed';
    const tUs = int32(bytes, from + DATA.tUs) >>> 0;
    const lengthUs = ownIntervals ? int32(bytes, from + DATA.lengthUs) >>> 0 : this.samplePeriodUs;
    if (lengthUs < 1 || lengthUs > MAX_INTERVAL_US) return 'malformed';
    counters.frames++;
    const startUs = this.sequence.accept(bytes[from + DATA.counter]!, tUs, lengthUs, count);
    if (startUs < 0) return null;
    if (this.sequence.restarted) {
      this.flush();
      this.outputs.push({ kind: 'restart', cause: 'jumpedBack' });
    }
    if (!this.samples.fits(count)) {
      this.flush();
      this.samples.begin();
    }
    this.samples.write(bytes, first, startUs, lengthUs, count);
    return null;
  }
}
