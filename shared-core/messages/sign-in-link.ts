/** A link that signs somebody in: the code stands behind the #, which no browser sends to a server. */
const PATH = '#/sign-in';

export const signInLink = (base: string, code: string): string =>
  `${base.replace(/\/$/, '')}/${PATH}?code=${encodeURIComponent(code)}`;

/** The code in an address's part from # on; null where there is none. */
export function signInCodeIn(hash: string): string | null {
  const [, code] = /^#\/sign-in\?code=([A-Za-z0-9-]+)$/.exec(hash) ?? [];
  return code ?? null;
}
