/** Of what was counted so little is left that it was begun anew, by a person or with the device (our own choice). */
const LEFT = 0.1;

/** True where a counter that read `from` and now reads `to` was set to 0 in between rather than moved there. */
export function wasSetBack(from: number, to: number): boolean {
  return to !== from && Math.abs(to) <= LEFT * Math.abs(from);
}
