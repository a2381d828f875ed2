/**
 * Samples as bytes: what the record lane carries and the store keeps. Lossless for values quantised to
 * their channel's resolution (quantise), which every source does once.
 *
 * Layout, all integers LEB128 varints, signed ones zigzag-coded first:
 *   version (1) · n · timed (0 or 1) · first tUs · per sample after the first: tUs delta of deltas
 *   if timed: n × length delta
 *   column count · per column: channel index · n × (0 for unknown, else 1 + zigzag(delta of steps))
 * Steps are round(value / resolution); deltas run from the last known value, the first from 0.
 */
import { CHANNEL_NAMES, CHANNELS, type Channel } from './channels.ts';
import type { SampleChunk } from './chunk.ts';

const VERSION = 1;
/** More than any batch holds; a decoder refuses to allocate beyond it. */
const MAX_SAMPLES = 1_000_000;

/** `value` at the channel's resolution; NaN stays NaN. */
export function quantise(channel: Channel, value: number): number {
  // Dividing by the inverse gives the same double for the same steps everywhere: 0.1 × 3 ≠ 3 ÷ 10.
  const stepsPerUnit = Math.round(1 / CHANNELS[channel].resolution);
  return Math.round(value * stepsPerUnit) / stepsPerUnit;
}

class ByteWriter {
  private bytes = new Uint8Array(1024);
  private length = 0;

  varint(value: number): void {
    if (this.length + 10 > this.bytes.length) {
      const grown = new Uint8Array(this.bytes.length * 2);
      grown.set(this.bytes);
      this.bytes = grown;
    }
    let rest = value;
    while (rest >= 0x80) {
      this.bytes[this.length++] = (rest % 0x80) | 0x80;
      rest = Math.floor(rest / 0x80);
    }
    this.bytes[this.length++] = rest;
  }

  signed(value: number): void {
    this.varint(zigzag(value));
  }

  finish(): Uint8Array {
    return this.bytes.slice(0, this.length);
  }
}

class ByteReader {
  private readonly bytes: Uint8Array;
  private at = 0;

  constructor(bytes: Uint8Array) {
    this.bytes = bytes;
  }

  varint(): number {
    let value = 0;
    let scale = 1;
    for (let i = 0; i < 8; i++) {
      const byte = this.bytes[this.at++];
      if (byte === undefined) throw new RangeError('sample bytes end too early');
      value += (byte & 0x7f) * scale;
      if (byte < 0x80) return value;
      scale *= 0x80;
    }
    throw new RangeError('sample bytes hold an integer that is too long');
  }

  signed(): number {
    return unzigzag(this.varint());
  }

  get atEnd(): boolean {
    return this.at === this.bytes.length;
  }
}

function zigzag(value: number): number {
  return value < 0 ? -2 * value - 1 : 2 * value;
}

function unzigzag(code: number): number {
  return code % 2 === 1 ? -(code + 1) / 2 : code / 2;
}

export function encodeChunk(chunk: SampleChunk): Uint8Array {
  const out = new ByteWriter();
  out.varint(VERSION);
  out.varint(chunk.n);
  out.varint(chunk.lengthUs ? 1 : 0);
  let last = 0;
  let lastDelta = 0;
  for (let i = 0; i < chunk.n; i++) {
    const t = chunk.tUs[i]!;
    if (i === 0) out.varint(t);
    else {
      out.signed(t - last - lastDelta);
      lastDelta = t - last;
    }
    last = t;
  }
  if (chunk.lengthUs) writeDeltas(out, chunk.lengthUs);
  const present = CHANNEL_NAMES.filter(name => chunk.columns[name]);
  out.varint(present.length);
  for (const name of present) {
    out.varint(CHANNEL_NAMES.indexOf(name));
    writeColumn(out, chunk.columns[name]!, Math.round(1 / CHANNELS[name].resolution));
  }
  return out.finish();
}

function writeDeltas(out: ByteWriter, values: Float64Array): void {
  let last = 0;
  for (const value of values) {
    out.signed(value - last);
    last = value;
  }
}

function writeColumn(out: ByteWriter, column: Float64Array, stepsPerUnit: number): void {
  let last = 0;
  for (const value of column) {
    if (Number.isNaN(value)) {
      out.varint(0);
      continue;
    }
    const steps = Math.round(value * stepsPerUnit);
    out.varint(1 + zigzag(steps - last));
    last = steps;
  }
}

/** The inverse of encodeChunk. Throws RangeError on bytes that encodeChunk did not write. */
export function decodeChunk(bytes: Uint8Array): SampleChunk {
  const input = new ByteReader(bytes);
  const version = input.varint();
  if (version !== VERSION) throw new RangeError(`sample bytes are of version ${version}, not ${VERSION}`);
  const n = input.varint();
  // Every sample takes at least one byte.
  if (n > MAX_SAMPLES || n > bytes.length) throw new RangeError(`sample bytes claim ${n} samples`);
  const timed = input.varint() === 1;
  const tUs = new Float64Array(n);
  let delta = 0;
  for (let i = 0; i < n; i++) {
    if (i === 0) tUs[0] = input.varint();
    else {
      delta += input.signed();
      tUs[i] = tUs[i - 1]! + delta;
    }
  }
  const lengthUs = timed ? readDeltas(input, n) : null;
  const columns: { [K in Channel]?: Float64Array } = {};
  for (let left = input.varint(); left > 0; left--) {
    const name = CHANNEL_NAMES[input.varint()];
    if (name === undefined) throw new RangeError('sample bytes name a channel that does not exist');
    columns[name] = readColumn(input, n, Math.round(1 / CHANNELS[name].resolution));
  }
  if (!input.atEnd) throw new RangeError('sample bytes go on after their end');
  return { n, tUs, lengthUs, columns };
}

function readDeltas(input: ByteReader, n: number): Float64Array {
  const values = new Float64Array(n);
  let last = 0;
  for (let i = 0; i < n; i++) {
    last += input.signed();
    values[i] = last;
  }
  return values;
}

function readColumn(input: ByteReader, n: number, stepsPerUnit: number): Float64Array {
  const column = new Float64Array(n);
  let steps = 0;
  for (let i = 0; i < n; i++) {
    const code = input.varint();
    if (code === 0) column[i] = Number.NaN;
    else {
      steps += unzigzag(code - 1);
      column[i] = steps / stepsPerUnit;
    }
  }
  return column;
}
