/**
 * A seal: one JSON document an edge signs over its own batches. The signed bytes are the UTF-8 of its canonical text
 * (RFC 8785), the signature is Ed25519 (RFC 8032) over those bytes, the seal's hash is their SHA-256. docs/seals.md.
 *
 * - `pass`: a closed pass, whole, with its gaps and the Merkle root of the batches it was recorded in;
 * - `checkpoint`: the whole stream as it stands, its root a tree that only grows (RFC 6962 signed tree head);
 * - `key`: a checkpoint that says with which key seals are signed from here on; the first seal of every stream.
 */
import { z } from 'zod';
import {
  clockSchema,
  originSchema,
  recordTimeUsSchema,
  sha256HexSchema,
  streamIdSchema,
  topicIdSchema,
  utcSchema,
} from '../messages/common.ts';
import { passMessageSchema } from '../messages/pass.ts';
import { canonicalJson } from './canonical-json.ts';

/** A raw Ed25519 public key, 32 bytes. */
export const publicKeySchema = z.string().regex(/^[0-9a-f]{64}$/);

/** More gaps than this are counted, not listed. */
export const SEAL_GAPS_MAX = 100;

/** A stretch of a pass without samples; `held` where the source only repeated itself, `storage` where the edge lost them. */
export const sealGapSchema = z.strictObject({
  fromUs: recordTimeUsSchema,
  toUs: recordTimeUsSchema,
  cause: z.enum(['noSamples', 'held', 'storage']),
});
export type SealGap = z.infer<typeof sealGapSchema>;

const head = {
  schema: z.literal('girthlog.seal/1'),
  origin: originSchema,
  site: topicIdSchema,
  rig: topicIdSchema,
  stream: streamIdSchema,
  /** 1, 2, 3 … along the stream. */
  number: z.int().positive(),
  /** Hash of the seal before it, zeros for number 1. */
  prev: sha256HexSchema,
  /** The batches under `root`: `firstSeq` to `lastSeq`, none where `lastSeq` is smaller. */
  firstSeq: z.int().positive(),
  lastSeq: z.int().nonnegative(),
  /** Merkle root (merkle-tree.ts) of those batches' hashes. */
  root: sha256HexSchema,
  /** The hash chain at `lastSeq`: the hash of that batch, zeros at 0. */
  head: sha256HexSchema,
  recordUs: recordTimeUsSchema,
  at: utcSchema,
  clock: clockSchema,
  software: z.string().max(40),
  /** SHA-256 of the public key that verifies this seal. */
  keyId: sha256HexSchema,
};

export const passSealSchema = z.strictObject({
  ...head,
  kind: z.literal('pass'),
  pass: passMessageSchema,
  gaps: z.array(sealGapSchema).max(SEAL_GAPS_MAX),
  gapsLeftOut: z.int().nonnegative(),
});
export type PassSeal = z.infer<typeof passSealSchema>;

export const checkpointSealSchema = z.strictObject({ ...head, kind: z.literal('checkpoint') });
export const keySealSchema = z.strictObject({
  ...head,
  kind: z.literal('key'),
  /** Signs from the next seal on; in a stream's first seal, the key that has signed that one too. */
  publicKey: publicKeySchema,
});

export const sealSchema = z.discriminatedUnion('kind', [passSealSchema, checkpointSealSchema, keySealSchema]);
export type Seal = z.infer<typeof sealSchema>;

/**
 * A seal as it travels. `seal` stays the JSON as it came, since exactly that is signed; seal-verify.ts reads it.
 * `publicKey` is what the seal's own `keyId` names: with it the seal can be checked by itself.
 */
export const signedSealSchema = z.strictObject({
  seal: z.record(z.string().max(60), z.unknown()),
  publicKey: publicKeySchema,
  signature: z.string().regex(/^[0-9a-f]{128}$/),
});
export type SignedSeal = z.infer<typeof signedSealSchema>;

/** The text that is hashed and signed. */
export function sealText(seal: Readonly<Record<string, unknown>>): string {
  return canonicalJson(seal);
}
