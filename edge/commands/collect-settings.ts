/** Commander's way to gather a flag that may stand several times. */
export function collectSettings(value: string, earlier: readonly string[]): string[] {
  return [...earlier, value];
}
