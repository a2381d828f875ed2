/**
 * Ed25519 (RFC 8032) and SHA-256 by node:crypto, for whoever verifies here. Public keys are their 32 bytes in hex,
 * known by their fingerprint, SHA-256 of those bytes (record/seal.ts has the same); signatures are 64 bytes in hex.
 */
import { createHash, createPublicKey, type KeyObject, verify } from 'node:crypto';

export function sha256Hex(content: string | Uint8Array): string {
  return createHash('sha256').update(content).digest('hex');
}

/** The fingerprint of a public key. */
export function fingerprintOf(publicKey: string): string {
  return sha256Hex(Buffer.from(publicKey, 'hex'));
}

/** The 32 bytes of a key, hex. */
export function rawPublicKey(key: KeyObject): string {
  return Buffer.from(key.export({ format: 'jwk' }).x ?? '', 'base64url').toString('hex');
}

/** The key as node:crypto takes it; null where the bytes are no Ed25519 key. */
export function publicKeyObject(publicKey: string | Uint8Array): KeyObject | null {
  const bytes = typeof publicKey === 'string' ? Buffer.from(publicKey, 'hex') : Buffer.from(publicKey);
  try {
    const jwk = { kty: 'OKP', crv: 'Ed25519', x: bytes.toString('base64url') };
    return createPublicKey({ key: jwk, format: 'jwk' });
  } catch {
    return null;
  }
}

/** The key in the form that other programs read, SubjectPublicKeyInfo in PEM; null where it is none. */
export function publicKeyPem(publicKey: string): string | null {
  return publicKeyObject(publicKey)?.export({ type: 'spki', format: 'pem' }).toString() ?? null;
}

export function verifyEd25519(publicKey: Uint8Array, message: Uint8Array, signature: Uint8Array): boolean {
  const key = publicKeyObject(publicKey);
  return key !== null && verify(null, message, key, signature);
}

/** Is `signature` that of the text's UTF-8 by this key? */
export function isSignedBy(publicKey: string, text: string, signature: string): boolean {
  return verifyEd25519(
    Buffer.from(publicKey, 'hex'),
    Buffer.from(text, 'utf8'),
    Buffer.from(signature, 'hex'),
  );
}
