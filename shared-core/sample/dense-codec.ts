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
import type { SampleChunk } from './chunk.ts';
import { BitReader, BitWriter, writeRun } from './rice-bits.ts';

const VERSION = 2;
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
  const input = new BitReader(bytes);
  const version = input.read(8);
  if (version !== VERSION) throw new RangeError(`dense samples are of version ${version}, not ${VERSION}`);
  const n = input.readNumber();
  if (n < 0 || n > MAX_SAMPLES) throw new RangeError(`dense samples claim ${n} samples`);
  const timed = input.read(1) === 1;
  const present: Channel[] = [];
  for (let left = input.read(5); left > 0; left--) {
    const name = CHANNEL_NAMES[input.read(5)];
    if (name === undefined) throw new RangeError('dense samples name a channel that does not exist');
    present.push(name);
  }
  const tUs = readNumbers(input, n, 1);
  const lengthUs = timed ? readNumbers(input, n, 1) : null;
  const columns: { [K in Channel]?: Float64Array } = {};
  for (const name of present) columns[name] = readColumn(input, n, stepsPerUnit(name));
  input.finish();
  return { n, tUs, lengthUs, columns };
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

function readColumn(input: BitReader, n: number, steps: number): Float64Array {
  if (n === 0 || input.read(1) === 0) return readNumbers(input, n, steps);
  const flags = new Float64Array(n);
  input.run(flags);
  const known = flags.reduce((sum, flag) => sum + flag, 0);
  if (!(known >= 0 && known <= n)) throw new RangeError('dense samples know more than there is');
  const values = readNumbers(input, known, steps);
  let at = 0;
  return flags.map(flag => (flag === 1 ? values[at++]! : Number.NaN));
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

/** Each divided by `steps`. */
function readNumbers(input: BitReader, n: number, steps: number): Float64Array {
  const numbers = new Float64Array(n);
  if (n === 0) return numbers;
  const guess = input.read(2);
  const first = input.readNumber();
  input.run(numbers, 1);
  numbers[0] = first / steps;
  if (guess === LAST) {
    let last = first;
    for (let i = 1; i < n; i++) {
      last += numbers[i]!;
      numbers[i] = last / steps;
    }
  } else if (guess === STRAIGHT_ON) {
    let step = 0;
    let last = first;
    for (let i = 1; i < n; i++) {
      step += numbers[i]!;
      last += step;
      numbers[i] = last / steps;
    }
  } else if (guess === MEAN_OF_FOUR) {
    let [a, b, c, d] = [first, first, first, first];
    for (let i = 1; i < n; i++) {
      const next = Math.floor((a + b + c + d) / 4 + 0.5) + numbers[i]!;
      a = b;
      b = c;
      c = d;
      d = next;
      numbers[i] = next / steps;
    }
  } else {
    const recent = new Float64Array(8).fill(first);
    let sum = 8 * first;
    for (let i = 1; i < n; i++) {
      const next = Math.floor(sum / 8 + 0.5) + numbers[i]!;
      sum += next - recent[i & 7]!;
      recent[i & 7] = next;
      numbers[i] = next / steps;
    }
  }
  return numbers;
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
