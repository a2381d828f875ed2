/**
 * Running mean and standard deviation (Welford, Technometrics 4, 1962; merging after Chan, Golub & LeVeque, 1979).
 * One pass, no stored values, and no cancellation where the mean is large beside the spread.
 */
export class RunningStatistics {
  #count = 0;
  #mean = 0;
  #squares = 0;
  #min = Number.POSITIVE_INFINITY;
  #max = Number.NEGATIVE_INFINITY;

  add(value: number): void {
    this.#count++;
    const before = value - this.#mean;
    this.#mean += before / this.#count;
    this.#squares += before * (value - this.#mean);
    if (value < this.#min) this.#min = value;
    if (value > this.#max) this.#max = value;
  }

  /** As if every value of `other` had been added here. */
  merge(other: RunningStatistics): void {
    if (other.#count === 0) return;
    const count = this.#count + other.#count;
    const difference = other.#mean - this.#mean;
    this.#squares += other.#squares + (difference * difference * this.#count * other.#count) / count;
    this.#mean += (difference * other.#count) / count;
    this.#count = count;
    this.#min = Math.min(this.#min, other.#min);
    this.#max = Math.max(this.#max, other.#max);
  }

  get count(): number {
    return this.#count;
  }

  /** Null before the first value. */
  get mean(): number | null {
    return this.#count === 0 ? null : this.#mean;
  }

  /** With n − 1; null before the second value. */
  get standardDeviation(): number | null {
    return this.#count < 2 ? null : Math.sqrt(this.#squares / (this.#count - 1));
  }

  get min(): number | null {
    return this.#count === 0 ? null : this.#min;
  }

  get max(): number | null {
    return this.#count === 0 ? null : this.#max;
  }
}

/** Mean of `values`; null for none. */
export function mean(values: ArrayLike<number>): number | null {
  const statistics = new RunningStatistics();
  for (let i = 0; i < values.length; i++) statistics.add(values[i]!);
  return statistics.mean;
}

/** Standard deviation with n − 1; null for fewer than two values. */
export function standardDeviation(values: ArrayLike<number>): number | null {
  const statistics = new RunningStatistics();
  for (let i = 0; i < values.length; i++) statistics.add(values[i]!);
  return statistics.standardDeviation;
}
