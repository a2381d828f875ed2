/**
 * What a seal proves, checked. Every function answers with the first problem in words, or null; none throws, whatever
 * it is given. Who checks: the truck's store on intake, the verify tool, anyone with the documents and the key.
 */
import { CHAIN_START } from './chain.ts';
import { fromHex, toHex } from './hex.ts';
import {
  EMPTY_FRONTIER,
  frontierRoot,
  growFrontier,
  type MerkleFrontier,
  type Sha256,
} from './merkle-tree.ts';
import { type Seal, type SignedSeal, sealSchema, sealText, signedSealSchema } from './seal.ts';

/** What verifying needs from its room; `node:crypto` has all of it. */
export interface SealCrypto {
  readonly sha256: Sha256;
  readonly utf8: (text: string) => Uint8Array;
  /** Ed25519: raw public key of 32 bytes, message, signature of 64 bytes. */
  readonly verifySignature: (publicKey: Uint8Array, message: Uint8Array, signature: Uint8Array) => boolean;
}

export interface ReadSeal {
  readonly seal: Seal;
  /** The canonical text, byte for byte what was signed. */
  readonly text: string;
  /** SHA-256 of that text. */
  readonly hash: string;
  readonly publicKey: string;
}

/** Fingerprint of a public key: SHA-256 of its 32 bytes. */
export function keyIdOf(publicKey: string, crypto: Pick<SealCrypto, 'sha256'>): string {
  return toHex(crypto.sha256(fromHex(publicKey) ?? new Uint8Array(0)));
}

/** The seal if its signature holds and it says nothing contradictory, else what is wrong. */
export function readSeal(signed: unknown, crypto: SealCrypto): ReadSeal | string {
  const envelope = signedSealSchema.safeParse(signed);
  if (!envelope.success) return 'it is not a signed seal';
  const { publicKey, signature } = envelope.data;
  let text: string;
  try {
    text = sealText(envelope.data.seal);
  } catch (error) {
    return `it has no canonical text: ${(error as Error).message}`;
  }
  const bytes = crypto.utf8(text);
  if (!crypto.verifySignature(fromHex(publicKey)!, bytes, fromHex(signature)!)) {
    return 'the signature does not fit the document';
  }
  const parsed = sealSchema.safeParse(envelope.data.seal);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    return `signed, but not a seal this program can read: ${issue?.path.join('.')}: ${issue?.message}`;
  }
  const seal = parsed.data;
  const problem = contradictionIn(seal, publicKey, crypto);
  return problem ?? { seal, text, hash: toHex(crypto.sha256(bytes)), publicKey };
}

/** Is one seal, by itself, what its key signed? */
export function verifySeal(signed: unknown, crypto: SealCrypto): string | null {
  const read = readSeal(signed, crypto);
  return typeof read === 'string' ? read : null;
}

function contradictionIn(seal: Seal, publicKey: string, crypto: SealCrypto): string | null {
  if (seal.keyId !== keyIdOf(publicKey, crypto)) return 'it names another key than the one it came with';
  if (seal.lastSeq < seal.firstSeq - 1) return 'its batches end before they begin';
  if (seal.number === 1 && seal.prev !== CHAIN_START) return 'the first seal of a stream follows none';
  if (seal.kind !== 'pass') return null;
  const { pass } = seal;
  if (seal.lastSeq < seal.firstSeq) return 'a pass without batches';
  if (pass.state !== 'closed') return 'its pass is still open';
  const own = pass.stream === seal.stream && pass.site === seal.site && pass.rig === seal.rig;
  if (!own) return 'its pass is of another rig or stream';
  return pass.origin === seal.origin ? null : 'seal and pass name two origins';
}

/** Where a stream's seals stand: what the next one has to follow. */
export interface SealPosition {
  readonly stream: string;
  readonly site: string;
  readonly rig: string;
  readonly origin: Seal['origin'];
  readonly number: number;
  readonly hash: string;
  readonly lastSeq: number;
  /** The key that has to sign the next seal. */
  readonly publicKey: string;
}

/** The position behind `read`, whether or not it follows what came before. */
export function positionAfter({ seal, hash, publicKey }: ReadSeal): SealPosition {
  const { stream, site, rig, origin, number, lastSeq } = seal;
  const next = seal.kind === 'key' ? seal.publicKey : publicKey;
  return { stream, site, rig, origin, number, hash, lastSeq, publicKey: next };
}

/** Does `read` come right behind `before` (null: it has to be a stream's first seal)? */
export function followProblem(read: ReadSeal, before: SealPosition | null): string | null {
  const { seal, publicKey } = read;
  if (!before) {
    if (seal.number !== 1) return `seal ${seal.number} stands where seal 1 should: earlier ones are missing`;
    if (seal.kind !== 'key' || seal.publicKey !== publicKey)
      return 'the first seal does not announce its key';
    return null;
  }
  if (seal.stream !== before.stream || seal.site !== before.site || seal.rig !== before.rig) {
    return `seal ${seal.number} belongs to another stream`;
  }
  if (seal.origin !== before.origin) return `seal ${seal.number} changes the origin of its stream`;
  if (seal.number !== before.number + 1) {
    return `seal ${seal.number} stands where seal ${before.number + 1} should`;
  }
  if (publicKey !== before.publicKey) return `seal ${seal.number} is signed by a key that nothing announced`;
  if (seal.prev !== before.hash) return `seal ${seal.number} does not follow the one before it`;
  if (seal.lastSeq < before.lastSeq) return `seal ${seal.number} reaches less far than the one before it`;
  return null;
}

export interface SealChainProblem {
  /** Place in the list, from 0. */
  readonly index: number;
  readonly problem: string;
}

/**
 * Seals of one stream in their order, from its first (`after` null) or from behind `after`. `trustedKeyId`, where
 * given, is the fingerprint the first of them has to be signed with; without it the chain proves only that all of it
 * comes from one holder of a key.
 */
export function verifySealChain(
  seals: readonly unknown[],
  crypto: SealCrypto,
  options: { readonly after?: SealPosition | null; readonly trustedKeyId?: string } = {},
): SealChainProblem | null {
  let before = options.after ?? null;
  for (const [index, signed] of seals.entries()) {
    const read = readSeal(signed, crypto);
    if (typeof read === 'string') return { index, problem: read };
    const { trustedKeyId } = options;
    if (index === 0 && trustedKeyId !== undefined && read.seal.keyId !== trustedKeyId) {
      return {
        index,
        problem: `it is signed by key ${shortKey(read.seal.keyId)}, not ${shortKey(trustedKeyId)}`,
      };
    }
    const problem = followProblem(read, before);
    if (problem) return { index, problem };
    before = positionAfter(read);
  }
  return null;
}

/**
 * Are these the sealed batches? `hashes` are the batch hashes (hex) of firstSeq … lastSeq in order, whatever became of
 * the batches' content; `before` is a tree of leading ones, where it is kept. Null when root and head fit.
 */
export function coverProblem(
  seal: Pick<Seal, 'firstSeq' | 'lastSeq' | 'root' | 'head'>,
  hashes: readonly string[],
  crypto: Pick<SealCrypto, 'sha256'>,
  before: MerkleFrontier = EMPTY_FRONTIER,
): string | null {
  const expected = seal.lastSeq - seal.firstSeq + 1;
  const given = before.size + hashes.length;
  if (given !== expected) return `${expected} batches are sealed and ${given} are here`;
  const leaves: Uint8Array[] = [];
  for (const hash of hashes) {
    const bytes = fromHex(hash);
    if (!bytes) return 'a batch hash is not hexadecimal';
    leaves.push(bytes);
  }
  const root = toHex(frontierRoot(growFrontier(before, leaves, crypto.sha256), crypto.sha256));
  if (root !== seal.root) return `the root of batches ${seal.firstSeq} to ${seal.lastSeq} is another one`;
  const last = hashes.at(-1) ?? (expected === 0 && seal.lastSeq === 0 ? CHAIN_START : null);
  if (last !== null && last !== seal.head) return `the chain at batch ${seal.lastSeq} is another one`;
  return null;
}

/** A fingerprint as people read it out: its first 16 digits in fours. */
export function shortKey(keyId: string): string {
  return keyId.slice(0, 16).replaceAll(/(....)(?=.)/g, '$1 ');
}

export type { SignedSeal };
