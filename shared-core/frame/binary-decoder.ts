/**
 * Push decoder of the binary form: bytes in any pieces → samples, announcements, counted discards.
 *
 * Hot path (docs/serial.md, `npm run bench`): no object per sample or frame; a frame is copied once, checked
 * four bytes a step, un-stuffed in place and written column by column.
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
import { ChunkWriter } from './chunk-writer.ts';
import { crc16 } from './crc16.ts';
import {
  type FieldLayout,
  type FrameLayout,
  layoutOf,
  MAX_INTERVAL_US,
  UNKNOWN_RAW,
} from './device-announcement.ts';
import { newFrameCounters } from './frame-counters.ts';
import type { DecoderOutput, FrameDecoder } from './frame-decoder.ts';
import { FrameSequence } from './frame-sequence.ts';
import type { ValueScaling } from './value-scaling.ts';

type Discard = 'badCrc' | 'tooLong' | 'malformed' | 'unknownVersion';

/** Shortest body: one COBS byte, one byte of content, the checksum. */
const MIN_BODY = 2 + CHECKSUM_BYTES;

export class BinaryDecoder implements FrameDecoder {
  readonly counters = newFrameCounters();
  readonly ownTime = true;
  private readonly sequence = new FrameSequence(this.counters, 8);
  private readonly body = new Uint8Array(MAX_BODY);
  private readonly rejected = new Uint8Array(MAX_BODY);
  private length = 0;
  private seen = 0;
  private synced = false;
  private tag = -1;
  private boot = -1;
  private layout: FrameLayout | null = null;
  private stride = 0;
  private samplePeriodUs = 0;
  private ownIntervals = false;
  private writer = new ChunkWriter([], true);
  private outputs: DecoderOutput[] = [];

  push(bytes: Uint8Array, _arrivalUs: number): DecoderOutput[] {
    this.outputs = [];
    const { body } = this;
    const end = bytes.length;
    let length = this.length;
    let from = 0;
    for (let i = 0; i < end; i++) {
      const byte = bytes[i]!;
      if (byte !== 0) {
        // Bytes beyond the longest frame are only counted.
        if (length < MAX_BODY) body[length++] = byte;
        continue;
      }
      this.length = length;
      this.seen += i - from;
      if (this.seen > 0) this.endFrame();
      this.seen = 0;
      length = 0;
      from = i + 1;
    }
    this.length = length;
    this.seen += end - from;
    this.flush();
    return this.outputs;
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
    const chunk = this.writer.take();
    if (chunk === null) return;
    this.counters.samples += chunk.n;
    this.outputs.push({ kind: 'samples', chunk });
  }

  private endFrame(): void {
    const reason = this.readFrame();
    if (reason !== null) {
      const { counters } = this;
      counters.discardedBytes += this.seen;
      // The rest of a frame whose beginning was before we listened is no fault of the line.
      if (!this.synced) counters.skippedBytes += this.seen;
      else counters[reason]++;
    }
    this.synced = true;
  }

  private readFrame(): Discard | null {
    const { body, length } = this;
    if (this.seen > MAX_BODY) return 'tooLong';
    if (length < MIN_BODY) return 'malformed';
    const end = length - CHECKSUM_BYTES;
    const b0 = body[end]!;
    const b1 = body[end + 1]!;
    const b2 = body[end + 2]!;
    if ((b0 & 0xfc) !== 0x80 || (b1 & 0x80) === 0 || (b2 & 0x80) === 0) return 'badCrc';
    const crc = ((b0 & 0x03) << 14) | ((b1 & 0x7f) << 7) | (b2 & 0x7f);
    if (crc !== crc16(body, 0, end)) return 'badCrc';
    // Undo COBS: each code byte but the first becomes the zero it stands for.
    let at = body[0]!;
    while (at < end) {
      const code = body[at]!;
      body[at] = 0;
      at += code;
    }
    if (at !== end) return 'malformed';
    // Content is body[1…end): the offsets of binary-layout.ts, one further on.
    if (end < 1 + DATA.samples) return 'malformed';
    const tag = body[1 + DATA.tag]! | (body[2 + DATA.tag]! << 8);
    return tag === ANNOUNCEMENT_MARK ? this.readAnnouncement(end, tagOf(crc)) : this.readData(end, tag);
  }

  private readAnnouncement(end: number, tag: number): Discard | null {
    const device = parseBinaryAnnouncement(this.body.subarray(1, end));
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
    this.stride = layout.fields.reduce((sum, { width }) => sum + width, 0);
    this.writer = new ChunkWriter(
      layout.announcement.channels.map(({ channel }) => channel),
      true,
    );
    this.outputs.push({ kind: 'announce', announcement: layout.announcement });
    return null;
  }

  private readData(end: number, tag: number): Discard | null {
    const { body, counters, layout } = this;
    if (layout === null || tag !== this.tag) {
      counters.frames++;
      counters.beforeAnnounce++;
      return null;
    }
    const from = 1 + DATA.samples + (this.ownIntervals ? OWN_INTERVAL_BYTES : 0);
    const count = (end - from) / this.stride;
    if (count < 1 || !Number.isInteger(count)) return 'malformed';
    const counter = body[1 + DATA.counter]!;
    const tUs = int32(body, 1 + DATA.tUs) >>> 0;
    const lengthUs = this.ownIntervals ? int32(body, 1 + DATA.lengthUs) >>> 0 : this.samplePeriodUs;
    if (lengthUs < 1 || lengthUs > MAX_INTERVAL_US) return 'malformed';
    counters.frames++;
    const startUs = this.sequence.accept(counter, tUs, lengthUs, count);
    if (startUs < 0) return null;
    if (this.sequence.restarted) {
      this.flush();
      this.outputs.push({ kind: 'restart', cause: 'jumpedBack' });
    }
    if (!this.writer.fits(count)) {
      this.flush();
      this.writer.begin();
    }
    this.writeSamples(layout.fields, from, startUs, lengthUs, count);
    return null;
  }

  private writeSamples(
    fields: readonly FieldLayout[],
    from: number,
    startUs: number,
    lengthUs: number,
    count: number,
  ): void {
    const { writer } = this;
    const { at, tUs, lengthUs: lengths, columns } = writer;
    for (let k = 0; k < count; k++) {
      tUs[at + k] = startUs + k * lengthUs;
      lengths[at + k] = lengthUs;
    }
    let anyRejected = false;
    let offset = from;
    let column = 0;
    for (let f = 0; f < fields.length; f++) {
      const field = fields[f]!;
      const { scaling } = field;
      if (scaling !== null && this.writeColumn(field, scaling, columns[column++]!, at, offset, count)) {
        anyRejected = true;
      }
      offset += field.width;
    }
    writer.at = anyRejected ? this.dropRejected(count) : at + count;
  }

  /** True when a value of it makes its sample worthless (marked in `rejected`). */
  private writeColumn(
    field: FieldLayout,
    scaling: ValueScaling,
    column: Float64Array,
    at: number,
    offset: number,
    count: number,
  ): boolean {
    const { body, stride } = this;
    const { lo, hi } = field;
    const { multiply, add, stepsPerUnit } = scaling;
    const end = at + count;
    let p = offset;
    let anyRejected = false;
    if (field.width === 2 && scaling.direct) {
      // The common case apart: nothing to convert, nothing to round.
      for (let i = at; i < end; i++, p += stride) {
        const raw = ((body[p]! | (body[p + 1]! << 8)) << 16) >> 16;
        if (raw >= lo && raw <= hi) column[i] = raw / stepsPerUnit;
        else if (this.leaveOut(field, scaling, column, i, raw, i - at)) anyRejected = true;
      }
      return anyRejected;
    }
    for (let i = at; i < end; i++, p += stride) {
      const raw = field.width === 2 ? ((body[p]! | (body[p + 1]! << 8)) << 16) >> 16 : int32(body, p);
      if (raw >= lo && raw <= hi) column[i] = (Math.round(raw * multiply + add) + 0) / stepsPerUnit;
      else if (this.leaveOut(field, scaling, column, i, raw, i - at)) anyRejected = true;
    }
    return anyRejected;
  }

  /** An unknown or impossible value; true where its sample goes with it. */
  private leaveOut(
    { width }: FieldLayout,
    { rejectsSample }: ValueScaling,
    column: Float64Array,
    i: number,
    raw: number,
    k: number,
  ): boolean {
    column[i] = Number.NaN;
    if (raw === UNKNOWN_RAW[width]) return false;
    if (rejectsSample) this.rejected[k] = 1;
    else this.counters.impossibleValues++;
    return rejectsSample;
  }

  /** Closes the ranks over rejected samples of the frame just written; returns where the next sample goes. */
  private dropRejected(count: number): number {
    const { writer, rejected } = this;
    const { at, tUs, lengthUs, columns } = writer;
    let to = at;
    for (let k = 0; k < count; k++) {
      if (rejected[k] === 1) {
        rejected[k] = 0;
        this.counters.impossibleSamples++;
        continue;
      }
      tUs[to] = tUs[at + k]!;
      lengthUs[to] = lengthUs[at + k]!;
      for (const column of columns) column[to] = column[at + k]!;
      to++;
    }
    return to;
  }
}

function int32(bytes: Uint8Array, at: number): number {
  return bytes[at]! | (bytes[at + 1]! << 8) | (bytes[at + 2]! << 16) | (bytes[at + 3]! << 24);
}
