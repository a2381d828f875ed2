export type Direction = 'high' | 'low';

export interface CusumSettings {
  /** Reference value, in standard deviations: half the shift worth finding. */
  readonly k: number;
  /** Decision interval, in standard deviations. */
  readonly h: number;
  /** Start of both sums, in standard deviations; 0 unless a fast initial response is wanted. */
  readonly headStart?: number;
}

/** Five channels at once: k = 0.5, h = 4 would call one or two good passes in twenty. */
export const DEFAULT_CUSUM: CusumSettings = { k: 1, h: 5 };

export interface CusumSignal {
  readonly direction: Direction;
  /** Index, from 0, of the first value after the sum was last at zero: where the shift is estimated to begin. */
  readonly onset: number;
  /** Estimated shift of the mean from its target, in standard deviations, signed. */
  readonly shift: number;
}

/**
 * Two-sided tabular CUSUM of standardised values z = (x − target)/σ:
 * C⁺ = max(0, C⁺ + z − k), C⁻ = max(0, C⁻ − z − k); a signal while either is above h. Not reset by a signal.
 * Source: Page 1954; NIST/SEMATECH e-Handbook 6.3.2.3; onset and size after Montgomery, Statistical Quality Control, 9.1
 * (shift = k + C/N, N values since the sum was zero).
 */
export class Cusum {
  readonly settings: CusumSettings;
  #high: number;
  #low: number;
  #sinceHigh = 0;
  #sinceLow = 0;
  #count = 0;

  constructor(settings: CusumSettings = DEFAULT_CUSUM) {
    this.settings = settings;
    this.#high = settings.headStart ?? 0;
    this.#low = settings.headStart ?? 0;
  }

  /** C⁺, in standard deviations. */
  get high(): number {
    return this.#high;
  }

  /** C⁻, in standard deviations. */
  get low(): number {
    return this.#low;
  }

  /** Takes the next standardised value; the signal that now stands, or null. A value that is not finite changes nothing. */
  add(z: number): CusumSignal | null {
    if (!Number.isFinite(z)) return null;
    const { k, h } = this.settings;
    this.#count++;
    this.#high = Math.max(0, this.#high + z - k);
    this.#low = Math.max(0, this.#low - z - k);
    this.#sinceHigh = this.#high > 0 ? this.#sinceHigh + 1 : 0;
    this.#sinceLow = this.#low > 0 ? this.#sinceLow + 1 : 0;
    const high = this.#high > h;
    const low = this.#low > h;
    if (!high && !low) return null;
    const up = high && (!low || this.#high >= this.#low);
    const since = up ? this.#sinceHigh : this.#sinceLow;
    const size = k + (up ? this.#high : this.#low) / since;
    return {
      direction: up ? 'high' : 'low',
      onset: this.#count - since,
      shift: up ? size : -size,
    };
  }
}
