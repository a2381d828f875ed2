/**
 * Samples at rest, in few bytes: what the store keeps of a settled stretch (the line carries codec.ts). Lossless for
 * values quantised to their channel's resolution, as codec.ts is, and quick to read into columns.
 *
 * Layout, most significant bit first:
 *   version (8 bits) · n (a number) · timed (1) · column count (5) · per column channel index (5)
 *   then times, lengths where timed, and the columns, each as
 *     guess (2 bits) · first whole number (6 bits for the length of its zigzag code, then that) · errors of the guess (rice-bits.ts).
 *   A column begins with one bit: 0 all known; 1 not all: a run of n numbers, 1 where known, comes before it.
 * Whole numbers are µs, or round(value / resolution) of known values alone.
 */
import { CHANNEL_NAMES, CHANNELS, type Channel } from './channels.ts';
import { type ChunkShape, emptyChunk, type SampleChunk, sliceChunk } from './chunk.ts';
import { BitReader, BitWriter, writeRun } from './rice-bits.ts';

const VERSION = 3;
/** Of the first stores that settled. */
const MIXED_VERSION = 2;
const MAX_SAMPLES = 1_000_000;
/** What the next number is guessed to be. */
const LAST = 0;
const MEAN_OF_FOUR = 1;
const STRAIGHT_ON = 2;
const MEAN_OF_EIGHT = 3;
/** Errors are alike over so many. */
const ROUGH_BLOCK = 64;
const GUESSES = [LAST, MEAN_OF_FOUR, STRAIGHT_ON, MEAN_OF_EIGHT];

export function encodeDense(chunk: SampleChunk): Uint8Array {
  const out = new BitWriter();
  out.write(VERSION, 8);
  out.writeNumber(chunk.n);
  out.write(chunk.lengthUs ? 1 : 0, 1);
  const present = CHANNEL_NAMES.filter(name => chunk.columns[name]);
  out.write(present.length, 5);
  for (const name of present) out.write(CHANNEL_NAMES.indexOf(name), 5);
  if (chunk.n === 0) return out.finish();
  writeNumbers(out, chunk.tUs);
  if (chunk.lengthUs) writeNumbers(out, chunk.lengthUs);
  for (const name of present) writeColumn(out, chunk.columns[name]!, stepsPerUnit(name));
  return out.finish();
}

/** The inverse of encodeDense. Throws RangeError on bytes that encodeDense did not write. */
export function decodeDense(bytes: Uint8Array): SampleChunk {
  return decodeAllDense([bytes])[0]!;
}

/**
 * Several in time order. Where they have the same channels they are slices of one chunk (rejoinSlices). Throws as
 * decodeDense does.
 */
export function decodeAllDense(encoded: readonly Uint8Array[]): SampleChunk[] {
  const parts = encoded.map(bytes => new DenseSamples(bytes));
  const kindOf = ({ timed, channels }: ChunkShape): string => `${timed} ${channels}`;
  const [first] = parts;
  const whole =
    first && parts.every(part => kindOf(part) === kindOf(first))
      ? emptyChunk({
          timed: first.timed,
          channels: first.channels,
          n: parts.reduce((sum, { n }) => sum + n, 0),
        })
      : null;
  let at = 0;
  return parts.map(part => {
    const chunk = whole ? sliceChunk(whole, at, at + part.n) : emptyChunk(part);
    at += part.n;
    part.readInto(chunk);
    return chunk;
  });
}

/** Encoded samples of which only what they are is read yet. */
class DenseSamples implements ChunkShape {
  readonly n: number;
  readonly timed: boolean;
  readonly channels: readonly Channel[];
  private readonly input: BitReader;

  constructor(bytes: Uint8Array) {
    const input = new BitReader(bytes);
    this.input = input;
    const version = input.read(8);
    input.isMixed = version === MIXED_VERSION;
    if (version !== VERSION && !input.isMixed)
      throw new RangeError(`dense samples are of version ${version}, not ${VERSION}`);
    this.n = input.readNumber();
    if (this.n < 0 || this.n > MAX_SAMPLES) throw new RangeError(`dense samples claim ${this.n} samples`);
    this.timed = input.read(1) === 1;
    const channels: Channel[] = [];
    for (let left = input.read(5); left > 0; left--) {
      const name = CHANNEL_NAMES[input.read(5)];
      if (name === undefined) throw new RangeError('dense samples name a channel that does not exist');
      channels.push(name);
    }
    this.channels = channels;
  }

  /** Once. `chunk` has n places and what these samples have. */
  readInto({ tUs, lengthUs, columns }: SampleChunk): void {
    const { input } = this;
    const errors = new Int32Array(Math.max(0, this.n - 1));
    readNumbers(input, tUs, 1, errors);
    if (this.timed) readNumbers(input, lengthUs!, 1, errors);
    for (const name of this.channels) readColumn(input, columns[name]!, stepsPerUnit(name), errors);
    input.finish();
  }
}

/** Steps of a channel in one of its unit: a whole number for every channel. */
function stepsPerUnit(name: Channel): number {
  return Math.round(1 / CHANNELS[name].resolution);
}

function writeColumn(out: BitWriter, column: Float64Array, steps: number): void {
  const known = column.filter(value => !Number.isNaN(value));
  const isWhole = known.length === column.length;
  out.write(isWhole ? 0 : 1, 1);
  if (!isWhole)
    writeRun(
      out,
      column.map(value => (Number.isNaN(value) ? 0 : 1)),
    );
  if (known.length > 0)
    writeNumbers(
      out,
      known.map(value => Math.round(value * steps)),
    );
}

function readColumn(input: BitReader, column: Float64Array, steps: number, errors: Int32Array): void {
  if (column.length === 0 || input.read(1) === 0) {
    readNumbers(input, column, steps, errors);
    return;
  }
  const isKnown = new Int32Array(column.length);
  input.run(isKnown);
  const known = isKnown.reduce((sum, flag) => sum + flag, 0);
  if (!(known >= 0 && known <= column.length)) throw new RangeError('dense samples know more than there is');
  const values = column.slice(0, known);
  readNumbers(input, values, steps, errors);
  let at = 0;
  for (let i = 0; i < column.length; i++) column[i] = isKnown[i] === 1 ? values[at++]! : Number.NaN;
}

/** At least one number. */
function writeNumbers(out: BitWriter, numbers: Float64Array): void {
  const best = GUESSES.map(guess => errorsOf(numbers, guess)).reduce((least, one) =>
    roughBits(one.errors) < roughBits(least.errors) ? one : least,
  );
  out.write(best.guess, 2);
  out.writeNumber(numbers[0]!);
  writeRun(out, best.errors);
}

/** Fills `numbers`, each divided by `steps`; `room` for its errors, which may be more than that. */
function readNumbers(input: BitReader, numbers: Float64Array, steps: number, room: Int32Array): void {
  if (numbers.length === 0) return;
  const guess = input.read(2);
  const first = input.readNumber();
  const errors = room.subarray(0, numbers.length - 1);
  const large = input.run(errors);
  const isSmall = large === null && Math.abs(first) < SMALL;
  if (isSmall && addSmall(numbers, guess, first, errors, steps)) return;
  addExact(numbers, guess, first, large ? withLarge(errors, large) : errors, steps);
}

function withLarge(errors: Int32Array, large: ReadonlyMap<number, number>): Float64Array {
  const exact = new Float64Array(errors);
  for (const [i, error] of large) exact[i] = error;
  return exact;
}

/** Below it the sum of eight is exact in 32 bits. */
const SMALL = 2 ** 27;

/**
 * What addExact does, in 32 bits, several times as fast. False where a number reached SMALL, and with it none that
 * follows may be right.
 */
function addSmall(
  numbers: Float64Array,
  guess: number,
  first: number,
  errors: Int32Array,
  steps: number,
): boolean {
  const n = numbers.length;
  let widest = 0;
  numbers[0] = first / steps;
  if (guess === LAST) {
    let last = first | 0;
    for (let i = 1; i < n; i++) {
      last = (last + errors[i - 1]!) | 0;
      widest |= last ^ (last >> 31);
      numbers[i] = last / steps;
    }
  } else if (guess === STRAIGHT_ON) {
    let step = 0;
    let last = first | 0;
    for (let i = 1; i < n; i++) {
      step = (step + errors[i - 1]!) | 0;
      last = (last + step) | 0;
      widest |= (last ^ (last >> 31)) | (step ^ (step >> 31));
      numbers[i] = last / steps;
    }
  } else if (guess === MEAN_OF_FOUR) {
    let [a, b, c, d] = [first | 0, first | 0, first | 0, first | 0];
    for (let i = 1; i < n; i++) {
      const next = (((a + b + c + d + 2) >> 2) + errors[i - 1]!) | 0;
      a = b;
      b = c;
      c = d;
      d = next;
      widest |= next ^ (next >> 31);
      numbers[i] = next / steps;
    }
  } else {
    const recent = new Int32Array(8).fill(first);
    let sum = (8 * first) | 0;
    for (let i = 1; i < n; i++) {
      const next = (((sum + 4) >> 3) + errors[i - 1]!) | 0;
      sum = (sum + next - recent[i & 7]!) | 0;
      recent[i & 7] = next;
      widest |= next ^ (next >> 31);
      numbers[i] = next / steps;
    }
  }
  return widest < SMALL;
}

function addExact(
  numbers: Float64Array,
  guess: number,
  first: number,
  errors: Int32Array | Float64Array,
  steps: number,
): void {
  const n = numbers.length;
  numbers[0] = first / steps;
  if (guess === LAST) {
    let last = first;
    for (let i = 1; i < n; i++) {
      last += errors[i - 1]!;
      numbers[i] = last / steps;
    }
  } else if (guess === STRAIGHT_ON) {
    let step = 0;
    let last = first;
    for (let i = 1; i < n; i++) {
      step += errors[i - 1]!;
      last += step;
      numbers[i] = last / steps;
    }
  } else {
    const of = guess === MEAN_OF_FOUR ? 4 : 8;
    const recent = new Float64Array(of).fill(first);
    let sum = of * first;
    for (let i = 1; i < n; i++) {
      const next = Math.floor(sum / of + 0.5) + errors[i - 1]!;
      sum += next - recent[i % of]!;
      recent[i % of] = next;
      numbers[i] = next / steps;
    }
  }
}

function errorsOf(numbers: Float64Array, guess: number): { guess: number; errors: Float64Array } {
  const errors = new Float64Array(numbers.length - 1);
  const first = numbers[0]!;
  const of = guess === MEAN_OF_FOUR ? 4 : 8;
  let sum = of * first;
  for (let i = 1; i < numbers.length; i++) {
    const last = numbers[i - 1]!;
    let expected = last;
    if (guess === STRAIGHT_ON) expected = 2 * last - numbers[Math.max(0, i - 2)]!;
    else if (guess !== LAST) expected = Math.floor(sum / of + 0.5);
    errors[i - 1] = numbers[i]! - expected;
    // Before there are so many, the first stands for those missing.
    sum += numbers[i]! - (i < of ? first : numbers[i - of]!);
  }
  return { guess, errors };
}

/** What tells guesses apart, not what a run takes. */
function roughBits(errors: Float64Array): number {
  let bits = 0;
  for (let from = 0; from < errors.length; from += ROUGH_BLOCK) {
    const to = Math.min(errors.length, from + ROUGH_BLOCK);
    let sum = 0;
    for (let i = from; i < to; i++) sum += Math.abs(errors[i]!);
    bits += (to - from) * Math.log2(1 + (2 * sum) / (to - from));
  }
  return bits;
}
