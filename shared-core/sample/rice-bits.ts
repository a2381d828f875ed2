/**
 * Whole numbers as few bits: Rice codes (R. F. Rice, JPL Publication 79-22, 1979) in blocks that each choose their own
 * parameter. What is near zero most of the time, as the errors of a good guess are, takes hardly more than its entropy.
 *
 * Layout of a run, most significant bit first, per block of up to BLOCK numbers:
 *   0 the parameter of the block before (the first: 0), or 1 and five bits of a new one;
 *   parameter ALL_ZERO: nothing more; else with each number zigzag-coded as z = q·2^k + r
 *   first the r of all, k bits each, then the q of all: q < ESCAPE as q zero bits and a one, else as ESCAPE zero bits
 *   and 53 bits of q. Where an r lies does not depend on what was read before it: they are read side by side.
 */
const BLOCK = 64;
const ALL_ZERO = 31;
const LARGEST_K = 24;
const ESCAPE = 24;
const ESCAPE_BITS = 53;
/** What is no escape is below it: 24 · 2^24 / 2 < 2^28. Sums of a few such numbers are exact in 32 bits. */
export const INT_LIMIT = 2 ** 28;
/** Bytes: a block begun before the end may read as far as this behind it. */
const PADDING = 512;

export class BitWriter {
  private bytes = new Uint8Array(4096);
  private bits = 0;

  /** The low `count` ≤ 24 bits of `value`. */
  write(value: number, count: number): void {
    if ((this.bits >> 3) + 8 > this.bytes.length) {
      const grown = new Uint8Array(this.bytes.length * 2);
      grown.set(this.bytes);
      this.bytes = grown;
    }
    for (let left = count; left > 0; ) {
      const room = 8 - (this.bits & 7);
      const taken = Math.min(room, left);
      const part = (value >>> (left - taken)) & ((1 << taken) - 1);
      this.bytes[this.bits >> 3]! |= part << (room - taken);
      this.bits += taken;
      left -= taken;
    }
  }

  /** A whole number of magnitude below 2^52: six bits say how many follow. */
  writeNumber(value: number): void {
    const z = zigzag(value);
    let bits = 0;
    while (2 ** bits <= z) bits++;
    this.write(bits, 6);
    this.writeBits(z, bits);
  }

  /** The low `count` ≤ 53 bits of a whole number. */
  writeBits(value: number, count: number): void {
    for (let left = count; left > 0; ) {
      const taken = Math.min(16, left);
      left -= taken;
      this.write(Math.floor(value / 2 ** left) % 2 ** taken, taken);
    }
  }

  finish(): Uint8Array {
    return this.bytes.slice(0, (this.bits + 7) >> 3);
  }
}

export class BitReader {
  /** Runs of an earlier layout: each r behind its own q, and an escape stands for the whole z. */
  isMixed = false;
  private readonly view: DataView;
  private readonly end: number;
  private at = 0;

  constructor(bytes: Uint8Array) {
    // Words are read whole: nothing but zeros stands behind the end.
    const padded = new Uint8Array(bytes.length + PADDING);
    padded.set(bytes);
    this.view = new DataView(padded.buffer);
    this.end = bytes.length * 8;
  }

  read(count: number): number {
    let value = 0;
    for (let left = count; left > 0; left -= 16)
      value = value * 2 ** Math.min(16, left) + this.short(Math.min(16, left));
    return value;
  }

  readNumber(): number {
    return unzigzag(this.read(this.read(6)));
  }

  /** Throws RangeError where more was read than there was, or whole bytes are left. */
  finish(): void {
    if (this.at > this.end) throw new RangeError('sample bits end too early');
    if (this.end - this.at >= 8) throw new RangeError('sample bits go on after their end');
  }

  /**
   * Fills `numbers` with a run that writeRun wrote. Those that reach INT_LIMIT are left 0 there and given back by their
   * place; null where there are none.
   */
  run(numbers: Int32Array): Map<number, number> | null {
    if (this.isMixed) return this.mixedRun(numbers);
    const { view, end } = this;
    const count = numbers.length;
    let large: Map<number, number> | null = null;
    let k = 0;
    for (let from = 0; from < count; from += BLOCK) {
      if (this.at > end) throw new RangeError('sample bits end too early');
      if (this.read(1) === 1) k = this.read(5);
      if (k > LARGEST_K && k !== ALL_ZERO) throw new RangeError(`sample bits have a parameter of ${k}`);
      const to = Math.min(count, from + BLOCK);
      if (k === ALL_ZERO) {
        numbers.fill(0, from, to);
        continue;
      }
      let rest = this.at;
      let at = rest + k * (to - from);
      if (at > end) throw new RangeError('sample bits end too early');
      // A parameter of 0 would ask for a shift by 32, which is one by 0: this way it takes two.
      const down = 31 - k;
      // Ones to come, the next on top; where none is left in it, it is 0 and read anew. At least 25 of its bits are real.
      let word = view.getUint32(at >>> 3) << (at & 7);
      for (let i = from; i < to; i++) {
        const r = ((view.getUint32(rest >>> 3) << (rest & 7)) >>> 1) >>> down;
        rest += k;
        let q = Math.clz32(word);
        if (q >= ESCAPE) {
          if (at > end) throw new RangeError('sample bits end too early');
          word = view.getUint32(at >>> 3) << (at & 7);
          q = Math.clz32(word);
          if (q >= ESCAPE) {
            this.at = at + ESCAPE;
            const number = unzigzag(this.read(ESCAPE_BITS) * 2 ** k + r);
            at = this.at;
            word = view.getUint32(at >>> 3) << (at & 7);
            const isLarge = Math.abs(number) >= INT_LIMIT;
            numbers[i] = isLarge ? 0 : number;
            if (isLarge) large = (large ?? new Map()).set(i, number);
            continue;
          }
        }
        at += q + 1;
        word <<= q + 1;
        const z = (q << k) | r;
        numbers[i] = (z >>> 1) ^ -(z & 1);
      }
      this.at = at;
    }
    return large;
  }

  private mixedRun(numbers: Int32Array): Map<number, number> | null {
    const large = new Map<number, number>();
    let k = 0;
    for (let i = 0; i < numbers.length; i++) {
      if (i % BLOCK === 0 && this.read(1) === 1) k = this.read(5);
      let q = 0;
      if (k !== ALL_ZERO) while (q < ESCAPE && this.read(1) === 0) q++;
      const low = q === ESCAPE ? ESCAPE_BITS : k;
      const number = k === ALL_ZERO ? 0 : unzigzag((q % ESCAPE) * 2 ** k + this.read(low));
      const isLarge = Math.abs(number) >= INT_LIMIT;
      numbers[i] = isLarge ? 0 : number;
      if (isLarge) large.set(i, number);
    }
    return large.size > 0 ? large : null;
  }

  private bitsAt(at: number, count: number): number {
    return ((this.view.getUint32(at >>> 3) << (at & 7)) >>> 0) >>> (32 - count);
  }

  private short(count: number): number {
    const value = this.bitsAt(this.at, count);
    this.at += count;
    if (this.at > this.end + 64) throw new RangeError('sample bits end too early');
    return value;
  }
}

/** Whole numbers of magnitude below 2^52. */
export function writeRun(out: BitWriter, numbers: Float64Array): void {
  let k = 0;
  for (let from = 0; from < numbers.length; from += BLOCK) {
    const block = numbers.subarray(from, from + BLOCK);
    const best = bestParameter(block, k);
    if (best === k) out.write(0, 1);
    else out.write(32 | best, 6);
    k = best;
    if (k === ALL_ZERO) continue;
    const scale = 2 ** k;
    if (k > 0) for (const number of block) out.write(zigzag(number) % scale, k);
    for (const number of block) {
      const q = Math.floor(zigzag(number) / scale);
      if (q < ESCAPE) out.write(1, q + 1);
      else {
        out.write(0, ESCAPE);
        out.writeBits(q, ESCAPE_BITS);
      }
    }
  }
}

/** The one that takes fewest bits, counting what it takes to say so. */
function bestParameter(block: Float64Array, before: number): number {
  let sum = 0;
  for (const number of block) sum += zigzag(number);
  if (sum === 0) return ALL_ZERO;
  let best = 0;
  let fewest = Number.POSITIVE_INFINITY;
  // One outlier pulls the mean up, never down.
  const highest = Math.min(LARGEST_K, 1 + Math.floor(Math.log2(sum / block.length + 1)));
  for (let k = highest; k >= 0; k--) {
    const bits = bitsOf(block, k) + (k === before ? 0 : 5);
    if (bits < fewest) [best, fewest] = [k, bits];
    else if (k < highest - 4 && bits > 2 * fewest) break;
  }
  return best;
}

function bitsOf(block: Float64Array, k: number): number {
  const scale = 2 ** k;
  let bits = 0;
  for (const number of block) {
    const q = Math.floor(zigzag(number) / scale);
    bits += k + (q >= ESCAPE ? ESCAPE + ESCAPE_BITS : q + 1);
  }
  return bits;
}

function zigzag(value: number): number {
  return value < 0 ? -2 * value - 1 : 2 * value;
}

function unzigzag(code: number): number {
  return code % 2 === 1 ? -(code + 1) / 2 : code / 2;
}
