/** Numbers read one by one, kept flat. */
export class GrowingColumn {
  length = 0;
  private values = new Float64Array(1024);

  push(value: number): void {
    if (this.length === this.values.length) {
      const grown = new Float64Array(2 * this.values.length);
      grown.set(this.values);
      this.values = grown;
    }
    this.values[this.length++] = value;
  }

  at(index: number): number {
    return this.values[index]!;
  }
}
