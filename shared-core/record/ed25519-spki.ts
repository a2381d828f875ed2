/** RFC 8410: the DER of an Ed25519 SubjectPublicKeyInfo is these bytes, then the key. */
const HEAD = [0x30, 0x2a, 0x30, 0x05, 0x06, 0x03, 0x2b, 0x65, 0x70, 0x03, 0x21, 0x00];

/** An Ed25519 public key of 32 bytes as SubjectPublicKeyInfo, DER, 44 bytes: what crypto libraries read. */
export function ed25519Spki(raw: Uint8Array): Uint8Array {
  return Uint8Array.of(...HEAD, ...raw);
}
