/**
 * What is summed over observed time, as one flat row of numbers: sums of a slice, a window, a sliding
 * second or a pass, from which means are taken alike. `…KnownS` is the time for which a channel had a value.
 * Flat because it is added up some ten million times a shift (docs/engine.md "Speed").
 */
export const SUM = {
  observedS: 0,
  /** Time that came in no frame. */
  missingS: 1,
  currentAs: 2,
  voltageVs: 3,
  productJ: 4,
  powerJ: 5,
  powerKnownS: 6,
  wireMm: 7,
  wireKnownS: 8,
  /** At the reference radius. */
  travelMm: 9,
  travelKnownS: 10,
  gasL: 11,
  gasKnownS: 12,
  oscillationWidthMmS: 13,
  oscillationWidthKnownS: 14,
  oscillationCycles: 15,
  oscillationKnownS: 16,
  /** Σ i²·Δt and Σ u²·Δt: how restless the arc is. */
  currentSquaredA2s: 17,
  voltageSquaredV2s: 18,
} as const;
export const SUM_COUNT = 19;

export type Sums = Float64Array;

export function zeroSums(): Sums {
  return new Float64Array(SUM_COUNT);
}

export function addSums(into: Sums, more: Sums): void {
  for (let i = 0; i < SUM_COUNT; i++) into[i] = into[i]! + more[i]!;
}

/**
 * Sums that lose nothing however long they run: Neumaier's compensated summation
 * (ZAMM 54, 1974; statistics/compensated-sum.ts is the same for one number).
 */
export class CompensatedSums {
  private readonly total = zeroSums();
  private readonly compensation = zeroSums();

  add(more: Sums): void {
    const { total, compensation } = this;
    for (let i = 0; i < SUM_COUNT; i++) {
      const before = total[i]!;
      const value = more[i]!;
      const after = before + value;
      compensation[i]! +=
        Math.abs(before) >= Math.abs(value) ? before - after + value : value - after + before;
      total[i] = after;
    }
  }

  get sums(): Sums {
    const sums = this.total.slice();
    addSums(sums, this.compensation);
    return sums;
  }
}
