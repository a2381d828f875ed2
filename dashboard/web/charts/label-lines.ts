/** Labels under a strip, each at the foot of a line that leads down to it from its place. */

/** `at`: where it leads down; its words run from `from` over `width`, from there to the right unless the edge is near. */
export interface PlacedLabel {
  readonly at: number;
  readonly from: number;
  readonly width: number;
}

const overlap = (a: PlacedLabel, b: PlacedLabel): boolean =>
  a.from < b.from + b.width && b.from < a.from + a.width;
const passesThrough = (at: number, words: PlacedLabel): boolean =>
  at > words.from && at < words.from + words.width;

/**
 * The line each stands on, from 0: the first where its words run into no others, and neither its lead nor another's
 * passes through words. From the right: what is further left goes deeper, its words under the leads of the others.
 */
export function labelLines(labels: readonly PlacedLabel[]): number[] {
  const lines: number[] = labels.map(() => 0);
  const placed: { readonly label: PlacedLabel; readonly line: number }[] = [];
  const fits = (label: PlacedLabel, line: number): boolean =>
    placed.every(({ label: other, line: otherLine }) => {
      if (otherLine === line) return !overlap(label, other);
      return otherLine < line ? !passesThrough(label.at, other) : !passesThrough(other.at, label);
    });
  const fromRight = labels.map((label, i) => ({ label, i })).sort((a, b) => b.label.at - a.label.at);
  for (const { label, i } of fromRight) {
    // A line of its own under all others, where a lead has to pass behind words (at the right edge).
    let line = 0;
    while (line <= placed.length && !fits(label, line)) line++;
    lines[i] = line;
    placed.push({ label, line });
  }
  return lines;
}
