import { Pcg32 } from './pcg32.ts';

/**
 * The generator of one purpose ("transfer", "carriage", …) of one rig under one seed. The stream follows
 * from the two names, so it does not depend on what else exists.
 */
export function randomStream(seed: number, rig: string, purpose: string): Pcg32 {
  const name = `${rig}/${purpose}`;
  return new Pcg32([0, seed >>> 0], [fnv1a(`high ${name}`) >>> 1, fnv1a(`low ${name}`)]);
}

/** FNV-1a, 32 bit (RFC 9923): spreads a name over the stream numbers. */
function fnv1a(text: string): number {
  let hash = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(text)) hash = Math.imul(hash ^ byte, 0x01000193);
  return hash >>> 0;
}
