/** The oldest Node that runs Girthlog (package.json, "engines"). */
const OLDEST = [20, 19] as const;

/** One sentence when `version` (such as "18.20.4") is too old, else null. */
export function nodeVersionProblem(version: string): string | null {
  const [major = 0, minor = 0] = version.split('.').map(Number);
  const enough = major > OLDEST[0] || (major === OLDEST[0] && minor >= OLDEST[1]);
  if (enough) return null;
  return `Girthlog needs Node ${OLDEST.join('.')} or newer, and this is Node ${version}.`;
}
