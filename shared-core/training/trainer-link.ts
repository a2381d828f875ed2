/** The link that makes a browser the trainer's: the key stands after the #, so that it never reaches a server's log. */

/** Where the page finds it. */
export const TRAINER_PATH = '#/training/trainer';

/** `dashboardUrl` with or without a slash at its end. */
export const trainerLink = (dashboardUrl: string, key: string): string =>
  `${dashboardUrl.replace(/\/+$/, '')}/${TRAINER_PATH}?key=${encodeURIComponent(key)}`;

/** The key in the part of an address from its # on; null where there is none. */
export function trainerKeyIn(hash: string): string | null {
  const [path, query = ''] = hash.split('?');
  if (path !== TRAINER_PATH) return null;
  const [, key = ''] = /(?:^|&)key=([^&]*)/.exec(query) ?? [];
  try {
    return decodeURIComponent(key) || null;
  } catch {
    return null;
  }
}
