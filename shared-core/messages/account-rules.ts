/** Rules of accounts that page and server share. No schemas here: the page loads none. */
export const peopleRoles = [
  'viewer',
  'weldSetter',
  'inspector',
  'reviewer',
  'trainer',
  'administrator',
] as const;

/** What a person signs in by: small letters, digits, dots and hyphens. */
export const SIGN_IN_NAME = /^[a-z0-9][a-z0-9.-]{0,39}$/;
export const isSignInName = (text: string): boolean => SIGN_IN_NAME.test(text.trim().toLowerCase());

/** Characters of a passphrase. */
export const PASSPHRASE_LEAST = 8;
export const PASSPHRASE_MOST = 128;
