/** Reasons said once under a table, and pointed to from every cell that needs one. */
export class Notes {
  private readonly numbers = new Map<string, number>();

  /** The number of a note, from 1. */
  of(text: string): number {
    const known = this.numbers.get(text);
    if (known !== undefined) return known;
    const number = this.numbers.size + 1;
    this.numbers.set(text, number);
    return number;
  }

  get all(): readonly string[] {
    return [...this.numbers.keys()];
  }
}
