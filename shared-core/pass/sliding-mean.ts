import { addSums, SUM_FIELDS, type SumField, type Sums, zeroSums } from '../arc/sums.ts';

/**
 * Sums of the slices of the last `spanS` seconds of record time. Added up anew at each question, so that
 * nothing accumulates; a gap empties it by itself.
 */
export class SlidingMean {
  private readonly spanUs: number;
  private readonly entries: { toUs: number; sums: Record<SumField, number> }[] = [];

  constructor(spanS: number) {
    this.spanUs = spanS * 1e6;
  }

  add(toUs: number, slice: Sums): void {
    const oldest = this.entries[0];
    const reused = oldest && oldest.toUs <= toUs - this.spanUs ? this.entries.shift() : undefined;
    const entry = reused ?? { toUs, sums: zeroSums() };
    entry.toUs = toUs;
    for (const field of SUM_FIELDS) entry.sums[field] = slice[field];
    this.entries.push(entry);
  }

  /** Sums over what ended in the span before `nowUs`. */
  sums(nowUs: number): Sums {
    const total = zeroSums();
    for (const entry of this.entries) {
      if (entry.toUs > nowUs - this.spanUs) addSums(total, entry.sums);
    }
    return total;
  }

  clear(): void {
    this.entries.length = 0;
  }
}
