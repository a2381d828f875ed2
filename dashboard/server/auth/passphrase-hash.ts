/**
 * A passphrase as it is kept: scrypt (RFC 7914), a salt of its own, and the cost it was made with beside it, so that
 * the cost may rise without asking anyone anew. `scrypt$N$r$p$salt$hash`, salt and hash in base64url.
 */
import { randomBytes, type ScryptOptions, scrypt, timingSafeEqual } from 'node:crypto';

export interface ScryptCost {
  /** CPU and memory, a power of two; memory is 128 × N × r bytes. */
  readonly N: number;
  readonly r: number;
  readonly p: number;
}

/** 32 MB and about a third of a second on a small board: of the costs the OWASP password storage sheet calls equal, from memory. */
export const SCRYPT_COST: ScryptCost = { N: 32_768, r: 8, p: 3 };

const SALT_BYTES = 16;
const HASH_BYTES = 32;

export async function hashPassphrase(passphrase: string, cost: ScryptCost = SCRYPT_COST): Promise<string> {
  const salt = randomBytes(SALT_BYTES);
  const hash = await derive(passphrase, salt, HASH_BYTES, cost);
  const { N, r, p } = cost;
  return ['scrypt', N, r, p, salt.toString('base64url'), hash.toString('base64url')].join('$');
}

/** Compares in a time that does not depend on where they differ. False where `kept` is no hash of ours. */
export async function isPassphrase(passphrase: string, kept: string): Promise<boolean> {
  const [scheme, N, r, p, salt, hash] = kept.split('$');
  if (scheme !== 'scrypt' || salt === undefined || hash === undefined) return false;
  const expected = Buffer.from(hash, 'base64url');
  const cost = { N: Number(N), r: Number(r), p: Number(p) };
  const given = await derive(passphrase, Buffer.from(salt, 'base64url'), expected.length, cost);
  return timingSafeEqual(given, expected);
}

/** What it was made at; null where `kept` is no hash of ours. */
export function costOf(kept: string): ScryptCost | null {
  const [scheme, N, r, p] = kept.split('$');
  return scheme === 'scrypt' ? { N: Number(N), r: Number(r), p: Number(p) } : null;
}

/** The same passphrase typed on another keyboard is the same: NFKC first (NIST SP 800-63B 5.1.1.2, from memory). */
function derive(passphrase: string, salt: Buffer, bytes: number, cost: ScryptCost): Promise<Buffer> {
  const options: ScryptOptions = { ...cost, maxmem: 256 * cost.N * cost.r };
  return new Promise((resolve, reject) => {
    scrypt(passphrase.normalize('NFKC'), salt, bytes, options, (error, key) => {
      if (error) reject(error);
      else resolve(key);
    });
  });
}
