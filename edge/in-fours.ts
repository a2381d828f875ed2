/** A fingerprint as people compare it. */
export function inFours(keyId: string): string {
  return keyId.replaceAll(/(....)(?=.)/g, '$1 ');
}
