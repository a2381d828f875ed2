/**
 * A running sum whose rounding error does not grow with the number of terms (Neumaier's form of Kahan's
 * compensated summation, ZAMM 54, 1974): an 8 h accumulation at 1 kHz keeps every digit.
 */
export class CompensatedSum {
  #sum = 0;
  #compensation = 0;

  add(value: number): void {
    const sum = this.#sum + value;
    this.#compensation +=
      Math.abs(this.#sum) >= Math.abs(value) ? this.#sum - sum + value : value - sum + this.#sum;
    this.#sum = sum;
  }

  get value(): number {
    return this.#sum + this.#compensation;
  }
}
