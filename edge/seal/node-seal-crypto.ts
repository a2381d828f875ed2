/** Hashing and Ed25519 of `node:crypto`, in the shape shared-core asks for. */
import { createHash, createPublicKey, type KeyObject, verify } from 'node:crypto';
import { ed25519Spki } from '#core/record/ed25519-spki';
import type { SealCrypto } from '#core/record/seal-verify';

export function sha256(bytes: Uint8Array): Uint8Array {
  return createHash('sha256').update(bytes).digest();
}

/** `raw` is 32 bytes. */
export function publicKeyObject(raw: Uint8Array): KeyObject {
  return createPublicKey({ key: Buffer.from(ed25519Spki(raw)), format: 'der', type: 'spki' });
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
