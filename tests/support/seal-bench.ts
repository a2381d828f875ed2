/** Seals made and checked with node:crypto, independently of what edge and dashboard do: for tests of both. */
import { createHash, createPublicKey, generateKeyPairSync, type KeyObject, sign, verify } from 'node:crypto';
import { canonicalJson } from '#core/record/canonical-json';
import { CHAIN_START } from '#core/record/chain';
import type { Seal, SignedSeal } from '#core/record/seal';
import type { SealCrypto } from '#core/record/seal-verify';
import { START_MS, STREAM } from './test-records.ts';

const bytesOf = (text: string): Uint8Array => Buffer.from(text, 'utf8');

export const testCrypto: SealCrypto = {
  sha256: bytes => createHash('sha256').update(bytes).digest(),
  utf8: bytesOf,
  verifySignature: (publicKey, message, signature) => {
    const x = Buffer.from(publicKey).toString('base64url');
    const key = createPublicKey({ format: 'jwk', key: { kty: 'OKP', crv: 'Ed25519', x } });
    return verify(null, message, key, signature);
  },
};

export interface TestKey {
  readonly privateKey: KeyObject;
  readonly publicKey: string;
  readonly keyId: string;
}

export function testKey(): TestKey {
  const { privateKey, publicKey } = generateKeyPairSync('ed25519');
  const raw = Buffer.from(publicKey.export({ format: 'jwk' }).x ?? '', 'base64url');
  return {
    privateKey,
    publicKey: raw.toString('hex'),
    keyId: createHash('sha256').update(raw).digest('hex'),
  };
}

export function signSeal(seal: Seal | Record<string, unknown>, key: TestKey): SignedSeal {
  const signature = sign(null, bytesOf(canonicalJson(seal)), key.privateKey).toString('hex');
  return { seal: { ...seal }, publicKey: key.publicKey, signature };
}

export function hashOfSeal(signed: SignedSeal): string {
  return createHash('sha256').update(canonicalJson(signed.seal)).digest('hex');
}

/** MTH of RFC 6962 section 2.1 as it stands there, recursive. */
export function definedRoot(leaves: readonly Uint8Array[]): Buffer {
  const hash = (...parts: Uint8Array[]): Buffer => createHash('sha256').update(Buffer.concat(parts)).digest();
  if (leaves.length === 0) return hash();
  if (leaves.length === 1) return hash(Uint8Array.of(0), leaves[0]!);
  let k = 1;
  while (k * 2 < leaves.length) k *= 2;
  return hash(Uint8Array.of(1), definedRoot(leaves.slice(0, k)), definedRoot(leaves.slice(k)));
}

export function rootOf(hashes: readonly string[]): string {
  return definedRoot(hashes.map(hash => Buffer.from(hash, 'hex'))).toString('hex');
}

/** The part every seal has, over batches with these hashes from `firstSeq` on. */
export function sealHead(
  key: TestKey,
  before: SignedSeal | null,
  hashes: readonly string[],
  firstSeq = 1,
): Omit<Extract<Seal, { kind: 'checkpoint' }>, 'kind'> {
  const number = before ? Number(before.seal['number']) + 1 : 1;
  return {
    schema: 'girthlog.seal/1',
    origin: 'simulated',
    site: 'spread-1',
    rig: 'rig-a',
    stream: STREAM,
    number,
    prev: before ? hashOfSeal(before) : CHAIN_START,
    firstSeq,
    lastSeq: firstSeq + hashes.length - 1,
    root: rootOf(hashes),
    head: hashes.at(-1) ?? CHAIN_START,
    recordUs: START_MS * 1000 + number,
    at: new Date(START_MS).toISOString(),
    clock: { state: 'synced', offsetMs: null },
    software: 'girthlog-edge test',
    keyId: key.keyId,
  };
}

/** A stream's first seal. */
export function firstSeal(key: TestKey): SignedSeal {
  return signSeal({ ...sealHead(key, null, []), kind: 'key', publicKey: key.publicKey }, key);
}
