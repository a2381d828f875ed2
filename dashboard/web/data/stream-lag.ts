/** So long more than the least there was on the way, and what arrives is no longer of now, ms. */
const LATE_MS = 2000;
/** The least of this long back counts: two clocks drift apart by far less in that time, ms. */
const LEAST_OF_MS = 300_000;
/** The first picture may take so long on a slow line, ms. */
const SETTLES_IN_MS = 30_000;

/**
 * How late a stream is, from its signs of life. Only differences count: the server's clock and this one begin
 * anywhere. What waits in buffers between the two shows nowhere else, and old values that keep coming would look live.
 */
export class StreamLag {
  #firstMs: number | null = null;
  #settled = false;
  #leastSinceMs = 0;
  #least = Number.POSITIVE_INFINITY;
  #leastBefore = Number.POSITIVE_INFINITY;
  /** What arrives now is too old to be shown as live. */
  late = false;

  /** A sign of life sent at `sentMs` (the server's clock) has arrived at `nowMs` (this one's). */
  heard(sentMs: number, nowMs: number): void {
    const way = nowMs - sentMs;
    if (nowMs - this.#leastSinceMs > LEAST_OF_MS) {
      this.#leastSinceMs = nowMs;
      this.#leastBefore = this.#least;
      this.#least = Number.POSITIVE_INFINITY;
    }
    this.#least = Math.min(this.#least, way);
    this.late = way - Math.min(this.#least, this.#leastBefore) > LATE_MS;
    if (this.#firstMs === null) this.#firstMs = nowMs;
    else if (!this.late || nowMs - this.#firstMs > SETTLES_IN_MS) this.#settled = true;
  }

  /** Late for another reason than the whole picture at its beginning: beginning anew brings it back to now. */
  get hopeless(): boolean {
    return this.late && this.#settled;
  }
}
