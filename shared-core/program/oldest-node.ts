/** The oldest Node that runs Girthlog (package.json, "engines"). */
const OLDEST = [20, 19] as const;

/** One sentence for a Node that is too old, null for one that is not. `version` as in process.versions.node. */
export function nodeProblem(version: string): string | null {
  const [major = 0, minor = 0] = version.split('.').map(Number);
  const tooOld = major < OLDEST[0] || (major === OLDEST[0] && minor < OLDEST[1]);
  return tooOld ? `Girthlog needs Node ${OLDEST.join('.')} or newer, and this is Node ${version}.` : null;
}
