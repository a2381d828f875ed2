/**
 * Push decoder of the text form: bytes in any pieces → samples, announcements, counted discards.
 *
 * A line is taken only when its marker, its checksum (four upper-case digits at a fixed place), its grammar and
 * its number of values are all right; so a flipped delimiter can neither join nor split lines unnoticed.
 */
import { ChunkWriter } from './chunk-writer.ts';
import { crc16 } from './crc16.ts';
import { type FrameLayout, layoutOf, MAX_FRAME_BYTES, MAX_INTERVAL_US } from './device-announcement.ts';
import { newFrameCounters } from './frame-counters.ts';
import type { DecoderOutput, FrameDecoder } from './frame-decoder.ts';
import { FrameSequence } from './frame-sequence.ts';
import { LineBuffer } from './line-buffer.ts';
import { parseTextAnnouncement } from './text-announcement.ts';
import { scaled } from './value-scaling.ts';

const COMMA = 44;
const MINUS = 45;
const MARKER = 33;
const CRC_MARK = 42;
const LETTER_A = 65;
const LETTER_D = 68;
/** `*` and four digits. */
const CRC_LENGTH = 5;
const MAX_LINE = MAX_FRAME_BYTES - 1;
/** Shortest line that can hold marker, letter, comma and checksum. */
const MIN_LINE = 3 + CRC_LENGTH;

const NOTHING = Number.MIN_SAFE_INTEGER;
const BROKEN = Number.MAX_SAFE_INTEGER;

export class TextDecoder implements FrameDecoder {
  readonly counters = newFrameCounters();
  readonly ownTime = true;
  private readonly sequence = new FrameSequence(this.counters, 16);
  private readonly buffer = new LineBuffer(MAX_LINE);
  private readonly line = this.buffer.bytes;
  private synced = false;
  private tag = -1;
  private boot = -1;
  private layout: FrameLayout | null = null;
  private writer = new ChunkWriter([], 'each');
  private values = new Float64Array(0);
  private cursor = 0;
  private outputs: DecoderOutput[] = [];

  push(bytes: Uint8Array, _arrivalUs: number): DecoderOutput[] {
    this.outputs = [];
    let from = 0;
    while (from < bytes.length) {
      from = this.buffer.fill(bytes, from);
      if (!this.buffer.complete) break;
      this.endLine();
      this.buffer.clear();
    }
    this.flush();
    return this.outputs;
  }

  finish(): DecoderOutput[] {
    return this.push(Uint8Array.of(10), 0);
  }

  reset(): void {
    this.buffer.clear();
    this.synced = false;
    this.sequence.reset();
  }

  private flush(): void {
    const chunk = this.writer.take();
    if (chunk === null) return;
    this.counters.samples += chunk.n;
    this.outputs.push({ kind: 'samples', chunk });
  }

  private endLine(): void {
    const { counters } = this;
    const bytes = this.buffer.seen;
    const reason = this.readLine();
    if (reason !== null) {
      counters.discardedBytes += bytes;
      // The rest of a line whose beginning was before we listened is no fault of the line.
      if (!this.synced) counters.skippedBytes += bytes;
      else counters[reason]++;
    }
    this.synced = true;
  }

  /** Null when the frame was right, else the name of the discard. */
  private readLine():
    | 'notAscii'
    | 'tooLong'
    | 'foreignLines'
    | 'badCrc'
    | 'malformed'
    | 'unknownVersion'
    | null {
    const { line, buffer } = this;
    const { length } = buffer;
    if (buffer.foreignByte) return 'notAscii';
    if (buffer.tooLong) return 'tooLong';
    if (line[0] !== MARKER) return 'foreignLines';
    const end = length - CRC_LENGTH;
    if (length < MIN_LINE || line[end] !== CRC_MARK) return 'badCrc';
    const crc = this.hexAt(end + 1);
    if (crc !== crc16(line, 0, end)) return 'badCrc';
    if (line[2] !== COMMA) return 'malformed';
    if (line[1] === LETTER_D) return this.readData(end);
    if (line[1] === LETTER_A) return this.readAnnouncement(end, crc);
    return 'malformed';
  }

  private readAnnouncement(end: number, crc: number): 'malformed' | 'unknownVersion' | null {
    const device = parseTextAnnouncement(String.fromCharCode(...this.line.subarray(0, end)));
    if (device === 'unknownVersion') this.counters.frames++;
    if (typeof device === 'string') return device;
    this.counters.frames++;
    this.counters.announcements++;
    if (this.layout !== null && crc === this.tag) return null;
    this.flush();
    const layout = layoutOf(device, 'text');
    this.counters.unknownChannel += layout.unknown;
    if (this.boot >= 0 && this.boot !== device.boot) {
      this.counters.restarts++;
      this.sequence.reset();
      this.outputs.push({ kind: 'restart', cause: 'bootChanged' });
    }
    this.boot = device.boot;
    this.tag = crc;
    this.layout = layout;
    this.writer = new ChunkWriter(
      layout.announcement.channels.map(({ channel }) => channel),
      'each',
    );
    this.values = new Float64Array(layout.announcement.channels.length);
    this.outputs.push({ kind: 'announce', announcement: layout.announcement });
    return null;
  }

  private readData(end: number): 'malformed' | null {
    const { counters, layout } = this;
    const tag = this.hexAt(3);
    if (tag < 0 || this.line[7] !== COMMA) return 'malformed';
    this.cursor = 8;
    const counter = this.integer(end);
    const tUs = this.integer(end);
    const lengthUs = this.integer(end);
    if (counter < 0 || counter > 0xffff || tUs < 0 || tUs > 0xffff_ffff) return 'malformed';
    if (lengthUs < 1 || lengthUs > MAX_INTERVAL_US || this.cursor > end) return 'malformed';
    if (layout === null || tag !== this.tag) {
      counters.frames++;
      counters.beforeAnnounce++;
      return null;
    }
    const possible = this.readValues(layout, end);
    if (possible === null) return 'malformed';
    counters.frames++;
    const startUs = this.sequence.accept(counter, tUs, lengthUs, 1);
    if (startUs < 0) return null;
    if (this.sequence.restarted) {
      this.flush();
      this.outputs.push({ kind: 'restart', cause: 'jumpedBack' });
    }
    if (possible) this.write(startUs, lengthUs);
    else counters.impossibleSamples++;
    return null;
  }

  /** Fills `values`. False: an impossible current or voltage; null: not the announced values. */
  private readValues(layout: FrameLayout, end: number): boolean | null {
    let possible = true;
    let impossible = 0;
    let column = 0;
    for (const { scaling, lo, hi } of layout.fields) {
      if (this.cursor > end) return null;
      const raw = this.integer(end);
      if (raw === BROKEN || (raw !== NOTHING && (raw < -0x8000_0000 || raw > 0x7fff_ffff))) return null;
      if (scaling === null) continue;
      if (raw === NOTHING) this.values[column] = Number.NaN;
      else if (raw >= lo && raw <= hi) this.values[column] = scaled(scaling, raw);
      else {
        this.values[column] = Number.NaN;
        if (scaling.rejectsSample) possible = false;
        else impossible++;
      }
      column++;
    }
    if (this.cursor !== end + 1) return null;
    this.counters.impossibleValues += impossible;
    return possible;
  }

  private write(startUs: number, lengthUs: number): void {
    if (!this.writer.fits(1)) {
      this.flush();
      this.writer.begin();
    }
    const { writer } = this;
    const at = writer.at++;
    writer.tUs[at] = startUs;
    writer.lengthUs[at] = lengthUs;
    for (let c = 0; c < this.values.length; c++) writer.columns[c]![at] = this.values[c]!;
  }

  /** The integer from the cursor to the next comma or `end`; steps over the comma. NOTHING where empty. */
  private integer(end: number): number {
    const { line } = this;
    let i = this.cursor;
    const negative = line[i] === MINUS && i < end;
    if (negative) i++;
    const from = i;
    let value = 0;
    for (; i < end && line[i] !== COMMA; i++) {
      const digit = line[i]! - 48;
      if (digit < 0 || digit > 9) return BROKEN;
      value = value * 10 + digit;
    }
    const digits = i - from;
    this.cursor = i + 1;
    if (digits === 0) return negative ? BROKEN : NOTHING;
    // One way only to write a number: no leading zeros, no minus zero.
    if (digits > 10 || (line[from] === 48 && (digits > 1 || negative))) return BROKEN;
    return negative ? -value : value;
  }

  /** Four upper-case hexadecimal digits, or −1. */
  private hexAt(from: number): number {
    let value = 0;
    for (let i = from; i < from + 4; i++) {
      const byte = this.line[i]!;
      const digit = byte >= 48 && byte <= 57 ? byte - 48 : byte >= 65 && byte <= 70 ? byte - 55 : -1;
      if (digit < 0) return -1;
      value = value * 16 + digit;
    }
    return value;
  }
}
