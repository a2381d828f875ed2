/**
 * Ed25519 (RFC 8032) and SHA-256 by node:crypto, for whoever verifies here. Public keys are their 32 bytes in hex,
 * known by their fingerprint, SHA-256 of those bytes (record/seal.ts has the same); signatures are 64 bytes in hex.
 */
import { createHash, type KeyObject } from 'node:crypto';
import { nodeSealCrypto, publicKeyObject } from '../ingest/node-seal-crypto.ts';

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

/** The key in the form that other programs read, SubjectPublicKeyInfo in PEM; null where it is none. */
export function publicKeyPem(publicKey: string): string | null {
  try {
    const key = publicKeyObject(Buffer.from(publicKey, 'hex'));
    return key.export({ type: 'spki', format: 'pem' }).toString();
  } catch {
    return null;
  }
}

/** Is `signature` that of the text's UTF-8 by this key? */
export function isSignedBy(publicKey: string, text: string, signature: string): boolean {
  return nodeSealCrypto.verifySignature(
    Buffer.from(publicKey, 'hex'),
    Buffer.from(text, 'utf8'),
    Buffer.from(signature, 'hex'),
  );
}
