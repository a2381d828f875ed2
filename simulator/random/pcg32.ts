/**
 * PCG32 (XSH-RR 64/32), O'Neill, "PCG: A Family of Simple Fast Space-Efficient Statistically Good
 * Algorithms for Random Number Generation", Harvey Mudd College HMC-CS-2014-0905.
 * 2^63 independent streams are chosen by the increment: each rig and each purpose has its own,
 * so adding a rig or a noise source never changes the numbers of another.
 * 32-bit integer arithmetic only: the same numbers on every machine.
 */
const MULTIPLIER_HIGH = 0x5851f42d;
const MULTIPLIER_LOW = 0x4c957f2d;

export class Pcg32 {
  private high = 0;
  private low = 0;
  private readonly stepHigh: number;
  private readonly stepLow: number;

  /** `seed` and `stream` are 64-bit numbers given as [high, low] 32-bit halves. */
  constructor(seed: readonly [number, number], stream: readonly [number, number]) {
    this.stepHigh = ((stream[0] << 1) | (stream[1] >>> 31)) >>> 0;
    this.stepLow = ((stream[1] << 1) | 1) >>> 0;
    this.advance();
    this.add(seed[0] >>> 0, seed[1] >>> 0);
    this.advance();
  }

  /** The next integer, uniform over 0 … 2^32 − 1. */
  nextUint32(): number {
    const { high, low } = this;
    this.advance();
    // (state >> 18 ^ state) >> 27, of which the low 32 bits count.
    const mixedHigh = (high >>> 18) ^ high;
    const mixedLow = ((high << 14) | (low >>> 18)) ^ low;
    const word = (mixedHigh << 5) | (mixedLow >>> 27);
    const turn = high >>> 27;
    return ((word >>> turn) | (word << (-turn & 31))) >>> 0;
  }

  /** Uniform over 0 ≤ x < 1, in steps of 2^−32. */
  nextUnit(): number {
    return this.nextUint32() / 4_294_967_296;
  }

  /**
   * Bell-shaped with mean 0 and standard deviation 1, never beyond ±3.45: the sum of four bytes of one
   * draw (Irwin–Hall). Sums instead of logarithms keep it the same on every machine.
   */
  nextBell(): number {
    const word = this.nextUint32();
    const sum = (word & 255) + ((word >>> 8) & 255) + ((word >>> 16) & 255) + (word >>> 24);
    return (sum - 510) / BYTE_SUM_DEVIATION;
  }

  private advance(): void {
    const { high, low } = this;
    const productLow = Math.imul(low, MULTIPLIER_LOW) >>> 0;
    const productHigh =
      (multiplyHigh(low, MULTIPLIER_LOW) +
        (Math.imul(low, MULTIPLIER_HIGH) >>> 0) +
        (Math.imul(high, MULTIPLIER_LOW) >>> 0)) %
      4_294_967_296;
    this.high = productHigh;
    this.low = productLow;
    this.add(this.stepHigh, this.stepLow);
  }

  private add(high: number, low: number): void {
    const sum = this.low + low;
    this.low = sum >>> 0;
    this.high = (this.high + high + (sum > 0xffff_ffff ? 1 : 0)) >>> 0;
  }
}

/** √(4 · (256² − 1) / 12) */
const BYTE_SUM_DEVIATION = Math.sqrt(21_845);

/** The high 32 bits of the 64-bit product of two unsigned 32-bit integers. */
function multiplyHigh(a: number, b: number): number {
  const aLow = a & 0xffff;
  const aHigh = a >>> 16;
  const bLow = b & 0xffff;
  const bHigh = b >>> 16;
  const middle = aHigh * bLow + ((aLow * bLow) >>> 16);
  const cross = aLow * bHigh + (middle % 65_536);
  return aHigh * bHigh + Math.floor(middle / 65_536) + Math.floor(cross / 65_536);
}
