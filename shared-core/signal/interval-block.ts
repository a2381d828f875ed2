/** What an entry of a block is. */
export const SAMPLE = 0;
/** Nothing arrived between `tUs` and `endUs`. */
export const GAP = 1;
/** The source repeated one reading between `tUs` and `endUs`: nothing is known there either. */
export const HELD = 2;

/** The columns of a block that carry a value for each sample, NaN where unknown. */
const VALUE_COLUMNS = [
  'current',
  'voltage',
  'power',
  'wireFeed',
  'travel',
  'gasFlow',
  'oscillationWidth',
  'oscillationFrequency',
] as const;
const TIME_COLUMNS = ['tUs', 'endUs', 'observedS', 'missingS'] as const;

/**
 * Samples with the time each stands for, and the stretches without any, in time order.
 *
 * Columns, `length` entries valid:
 * - kind: SAMPLE, GAP or HELD
 * - tUs, endUs: µs; a sample's `endUs` is where the next entry begins
 * - observedS: how long the sample's values are integrated, s (0 for GAP and HELD)
 * - missingS: time up to the next entry that a device's averaging interval did not cover, s
 * - current A, voltage V, power W, wireFeed mm/s, travel mm/s at the reference radius, gasFlow L/min,
 *   oscillationWidth mm, oscillationFrequency Hz
 * - for GAP and HELD, `travel` is the distance covered, mm, where a distance channel bridges it
 *
 * Reused from call to call: read it before the next push.
 */
export class IntervalBlock {
  length = 0;
  kind = new Uint8Array(0);
  tUs = new Float64Array(0);
  endUs = new Float64Array(0);
  observedS = new Float64Array(0);
  missingS = new Float64Array(0);
  current = new Float64Array(0);
  voltage = new Float64Array(0);
  power = new Float64Array(0);
  wireFeed = new Float64Array(0);
  travel = new Float64Array(0);
  gasFlow = new Float64Array(0);
  oscillationWidth = new Float64Array(0);
  oscillationFrequency = new Float64Array(0);

  /** Room for `more` further entries. */
  reserve(more: number): void {
    const needed = this.length + more;
    if (needed <= this.kind.length) return;
    const capacity = Math.max(needed, 2 * this.kind.length, 256);
    const kind = new Uint8Array(capacity);
    kind.set(this.kind);
    this.kind = kind;
    for (const name of [...TIME_COLUMNS, ...VALUE_COLUMNS]) {
      const grown = new Float64Array(capacity);
      grown.set(this[name]);
      this[name] = grown;
    }
  }

  /** A stretch of which nothing is known; `bridgedMm` NaN where no distance channel spans it. */
  addUnobserved(kind: typeof GAP | typeof HELD, fromUs: number, toUs: number, bridgedMm: number): void {
    this.reserve(1);
    const at = this.length++;
    this.kind[at] = kind;
    this.tUs[at] = fromUs;
    this.endUs[at] = toUs;
    this.observedS[at] = 0;
    this.missingS[at] = 0;
    for (const name of VALUE_COLUMNS) this[name][at] = Number.NaN;
    this.travel[at] = bridgedMm;
  }
}
