/** Hashing and Ed25519 of `node:crypto`, in the shape shared-core asks for. Raw keys of 32 bytes become DER here. */
import { createHash, createPublicKey, type KeyObject, verify } from 'node:crypto';
import type { SealCrypto } from '#core/record/seal-verify';

/** RFC 8410: SubjectPublicKeyInfo of an Ed25519 key is these bytes, then the key. */
const SPKI_HEAD = Buffer.from('302a300506032b6570032100', 'hex');

export function sha256(bytes: Uint8Array): Uint8Array {
  return createHash('sha256').update(bytes).digest();
}

/** `raw` is 32 bytes. */
export function publicKeyObject(raw: Uint8Array): KeyObject {
  return createPublicKey({ key: Buffer.concat([SPKI_HEAD, raw]), format: 'der', type: 'spki' });
}

export const nodeSealCrypto: SealCrypto = {
  sha256,
  utf8: text => Buffer.from(text, 'utf8'),
  verifySignature: (publicKey, message, signature) => {
    try {
      return verify(null, message, publicKeyObject(publicKey), signature);
    } catch {
      return false;
    }
  },
};
