/**
 * Where labels stand in a column beside a drawing: each as near its mark as the others leave room, in the order of the
 * marks, so that no two lie on each other and their lines cross as little as they can.
 *
 * `marks`: heights of the marks, ascending; `gap`: least distance, made smaller where there are too many for `top` to `bottom`.
 */
export function labelColumn(marks: readonly number[], top: number, bottom: number, gap: number): number[] {
  const least = Math.min(gap, (bottom - top) / Math.max(1, marks.length - 1));
  const placed: number[] = [];
  for (const mark of marks) placed.push(Math.max(mark, top, (placed.at(-1) ?? -Infinity) + least));
  let limit = bottom;
  for (let i = placed.length - 1; i >= 0; i--) {
    placed[i] = Math.min(placed[i]!, limit);
    limit = placed[i]! - least;
  }
  return placed;
}
