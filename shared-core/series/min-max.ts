import { ZOOM_WIDTHS_US, zoomWidthBelow } from './zoom-widths.ts';

/**
 * Min–max reduction: a range of time cut into equal buckets, the least and the greatest value of each kept.
 * No excursion disappears, whatever the zoom, so a drawn line may be held against a limit.
 *
 * Invariants
 * - buckets are [origin + i·width, origin + (i+1)·width), width a whole number of µs; the last also takes `toUs`;
 * - NaN ("unknown") never enters; a bucket that nothing entered is absent from the result.
 */
export interface MinMaxSeries {
  /** Where each bucket starts, record time µs. */
  readonly tUs: number[];
  readonly min: number[];
  readonly max: number[];
}

/**
 * Buckets end where those of a level do that is this much finer: they are coarser than asked for by a quarter at most,
 * by a half next to the finest level.
 */
const GRID_PART = 4;
const GRID_LEAST = 2;
/** Fewer buckets are cut exactly as asked: they would be seen to be coarser. */
const GRID_FROM = 16;

export class MinMaxBuckets {
  readonly fromUs: number;
  readonly toUs: number;
  readonly widthUs: number;
  /** Where the first bucket starts; before `fromUs` on a grid. */
  private readonly originUs: number;
  private readonly least: Float64Array;
  private readonly greatest: Float64Array;

  /** `count` ≥ 1 buckets over fromUs ≤ t ≤ toUs; throws RangeError on an empty or reversed range. */
  constructor(fromUs: number, toUs: number, count: number, gridUs: number | null = null) {
    if (!(toUs > fromUs) || !(count >= 1)) throw new RangeError('a reduction needs a range and a bucket');
    this.fromUs = fromUs;
    this.toUs = toUs;
    const spanUs = toUs - fromUs;
    if (gridUs === null) {
      this.widthUs = Math.max(1, Math.ceil(spanUs / count));
      this.originUs = fromUs;
    } else {
      // One more for the part of a bucket at each end.
      this.widthUs = gridUs * Math.ceil(spanUs / Math.max(1, count - 1) / gridUs);
      this.originUs = Math.floor(fromUs / this.widthUs) * this.widthUs;
    }
    const filled = Math.max(1, Math.ceil((toUs - this.originUs) / this.widthUs));
    this.least = new Float64Array(filled).fill(Number.POSITIVE_INFINITY);
    this.greatest = new Float64Array(filled).fill(Number.NEGATIVE_INFINITY);
  }

  /**
   * At most `count` buckets whose ends are multiples of a zoom level's width (zoom-levels.ts), where they are wide
   * enough for one: whole buckets of that level then lie in one bucket each, and none of the samples has to be read.
   */
  static onGrid(fromUs: number, toUs: number, count: number): MinMaxBuckets {
    const widthUs = (toUs - fromUs) / Math.max(1, count - 1);
    const levelUs = zoomWidthBelow(widthUs / GRID_PART) ?? zoomWidthBelow(widthUs / GRID_LEAST);
    const isWorth = count >= GRID_FROM && levelUs !== null;
    return new MinMaxBuckets(fromUs, toUs, count, isWorth ? levelUs : null);
  }

  /** The bucket `tUs` falls in, or −1 outside the range. */
  bucketOf(tUs: number): number {
    if (tUs < this.fromUs || tUs > this.toUs) return -1;
    return Math.min(this.least.length - 1, Math.floor((tUs - this.originUs) / this.widthUs));
  }

  /** Samples in time order; those outside the range and unknown ones are passed over. */
  addSamples(tUs: Float64Array, values: Float64Array): void {
    const { fromUs, toUs, originUs, widthUs, least, greatest } = this;
    const last = least.length - 1;
    for (let i = 0; i < tUs.length; i++) {
      const t = tUs[i]!;
      if (t < fromUs) continue;
      if (t > toUs) break;
      const bucket = Math.min(last, Math.floor((t - originUs) / widthUs));
      const value = values[i]!;
      // NaN fails both comparisons.
      if (value < least[bucket]!) least[bucket] = value;
      if (value > greatest[bucket]!) greatest[bucket] = value;
    }
  }

  /** Whether there is a zoom level that can stand for samples. */
  get isOnGrid(): boolean {
    return this.takes(ZOOM_WIDTHS_US[0]!);
  }

  /** Whether every bucket of a level lies in one of these, so that it can stand for its samples. */
  takes(levelUs: number): boolean {
    return this.widthUs % levelUs === 0 && this.originUs % levelUs === 0;
  }

  /** The extremes of a run of samples that lies wholly in one bucket. */
  addExtremes(bucket: number, min: number, max: number): void {
    if (min < this.least[bucket]!) this.least[bucket] = min;
    if (max > this.greatest[bucket]!) this.greatest[bucket] = max;
  }

  finish(): MinMaxSeries {
    const filled: number[] = [];
    for (let i = 0; i < this.least.length; i++) if (this.least[i]! <= this.greatest[i]!) filled.push(i);
    return {
      tUs: filled.map(i => Math.max(this.fromUs, this.originUs + i * this.widthUs)),
      min: filled.map(i => this.least[i]!),
      max: filled.map(i => this.greatest[i]!),
    };
  }
}

/** Least and greatest known value of a column, or null when none is known. */
export function extremesOf(values: Float64Array): { min: number; max: number } | null {
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (value < min) min = value;
    if (value > max) max = value;
  }
  return min > max ? null : { min, max };
}
