/** The only place of the simulator that reads the environment. */

/** What children start with. */
export const ownEnvironment = (): NodeJS.ProcessEnv => process.env;

/** A secret that was handed over by the environment, taken out of it so that no other child sees it; else null. */
export function takeSecret(name: string): string | null {
  const secret = process.env[name];
  delete process.env[name];
  return secret === undefined || secret === '' ? null : secret;
}
