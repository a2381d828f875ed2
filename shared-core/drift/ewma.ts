export interface EwmaSettings {
  /** Weight of the newest value, 0 < λ ≤ 1. */
  readonly lambda: number;
  /** Half width of the limits, in standard deviations of the average. */
  readonly width: number;
}

export const DEFAULT_EWMA: EwmaSettings = { lambda: 0.2, width: 3 };

/**
 * Exponentially weighted moving average, z = λ·x + (1 − λ)·z, from `start`.
 * Limits: target ± L·σ·√(λ/(2 − λ)·(1 − (1 − λ)^2n)), or without the last factor once settled.
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.4. Units: those of the values.
 */
export class Ewma {
  readonly settings: EwmaSettings;
  #average: number;
  #count = 0;

  constructor(start: number, settings: EwmaSettings = DEFAULT_EWMA) {
    this.settings = settings;
    this.#average = start;
  }

  get average(): number {
    return this.#average;
  }

  get count(): number {
    return this.#count;
  }

  /** Takes the next value and gives the average. A value that is not finite changes nothing. */
  add(x: number): number {
    if (!Number.isFinite(x)) return this.#average;
    this.#count++;
    this.#average = this.settings.lambda * x + (1 - this.settings.lambda) * this.#average;
    return this.#average;
  }
}

/** Half width of the limits for a standard deviation, once settled or after `count` values. Same unit as `sigma`. */
export function ewmaHalfWidth({ lambda, width }: EwmaSettings, sigma: number, count?: number): number {
  const settled = lambda / (2 - lambda);
  const share = count === undefined ? 1 : 1 - (1 - lambda) ** (2 * count);
  return width * sigma * Math.sqrt(settled * share);
}
