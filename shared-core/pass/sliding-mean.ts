import { SUM_COUNT, type Sums, zeroSums } from '../arc/sums.ts';

/**
 * Sums of the slices of the last `spanS` seconds of record time. Added up anew at each question, so that
 * nothing accumulates; a gap empties it by itself. A ring of rows that grows to what the span needs.
 */
export class SlidingMean {
  private readonly spanUs: number;
  private toUs = new Float64Array(64);
  private rows = new Float64Array(64 * SUM_COUNT);
  private first = 0;
  private count = 0;

  constructor(spanS: number) {
    this.spanUs = spanS * 1e6;
  }

  add(toUs: number, sums: Sums): void {
    while (this.count > 0 && this.toUs[this.first]! <= toUs - this.spanUs) {
      this.first = (this.first + 1) % this.toUs.length;
      this.count--;
    }
    if (this.count === this.toUs.length) this.grow();
    const at = (this.first + this.count++) % this.toUs.length;
    this.toUs[at] = toUs;
    const row = at * SUM_COUNT;
    for (let field = 0; field < SUM_COUNT; field++) this.rows[row + field] = sums[field]!;
  }

  /** Sums over what ended in the span before `nowUs`. */
  sums(nowUs: number): Sums {
    const total = zeroSums();
    for (let i = 0; i < this.count; i++) {
      const at = (this.first + i) % this.toUs.length;
      if (this.toUs[at]! <= nowUs - this.spanUs) continue;
      const row = at * SUM_COUNT;
      for (let field = 0; field < SUM_COUNT; field++) total[field]! += this.rows[row + field]!;
    }
    return total;
  }

  private grow(): void {
    const size = this.toUs.length;
    const order = Array.from({ length: size }, (_, i) => (this.first + i) % size);
    const toUs = new Float64Array(2 * size);
    const rows = new Float64Array(2 * size * SUM_COUNT);
    order.forEach((from, to) => {
      toUs[to] = this.toUs[from]!;
      rows.set(this.rows.subarray(from * SUM_COUNT, (from + 1) * SUM_COUNT), to * SUM_COUNT);
    });
    this.toUs = toUs;
    this.rows = rows;
    this.first = 0;
  }
}
