/**
 * One joint in one document, for whoever has to believe it without this system: what was welded, what was entered and
 * ruled, each with the signature it was made with, and the dashboard's over all of it. The text that is signed is the
 * canonical JSON (RFC 8785) of `record`; SHA-256 of its UTF-8 is `hash`, the Ed25519 signature (RFC 8032) is over the
 * same bytes. docs/verify-records.md.
 */
import { z } from 'zod';
import { signatureSchema, signedEntrySchema } from '../journal/signed-entry.ts';
import { labelSchema, originSchema, sha256HexSchema, topicIdSchema, utcSchema } from '../messages/common.ts';
import { passMessageSchema } from '../messages/pass.ts';
import { canonicalJson } from './canonical-json.ts';
import { publicKeySchema, signedSealSchema } from './seal.ts';

/** A public key with its fingerprint, SHA-256 of its 32 bytes. */
const keySchema = z.strictObject({ fingerprint: sha256HexSchema, publicKey: publicKeySchema });

const recordedPassSchema = z.strictObject({
  /** As recorded. Where an entry moved it, `counts` says where it belongs now. */
  pass: passMessageSchema,
  counts: z.boolean(),
  /** The batch that holds its latest version; null where it is missing. */
  batch: z.strictObject({ seq: z.int().positive(), hash: sha256HexSchema }).nullable(),
  /** What the edge signed of it; null with the reason beside it. */
  seal: signedSealSchema.nullable(),
  sealReason: z.string().nullable(),
});

export const jointRecordSchema = z.strictObject({
  schema: z.literal('girthlog.joint-record/1'),
  joint: labelSchema,
  origin: originSchema,
  at: utcSchema,
  software: z.string(),
  /** In the order they were welded; those moved to it from elsewhere, and those moved away. */
  passes: z.array(recordedPassSchema),
  /** Everything entered about the joint, in order. An entry without a signature is in `unsigned`. */
  entries: z.array(signedEntrySchema),
  unsigned: z.array(z.int().positive()),
  /** The newest entry of the whole journal: a store that no longer holds it has lost something since. */
  journal: z.strictObject({ number: z.int().nonnegative(), hash: sha256HexSchema }),
  /** Names of the people that entries call by id. */
  people: z.array(z.strictObject({ id: z.string(), name: z.string() })),
  keys: z.strictObject({
    dashboard: z.array(keySchema),
    /** Trusted by the dashboard when it signed, or before: of the rigs that welded the joint. */
    edges: z.array(keySchema.extend({ site: topicIdSchema, rig: topicIdSchema })),
  }),
});
export type JointRecord = z.infer<typeof jointRecordSchema>;

/** GET /api/v1/joints/{joint}/record */
export const signedJointRecordSchema = z.strictObject({
  record: jointRecordSchema,
  hash: sha256HexSchema,
  key: sha256HexSchema,
  signature: signatureSchema,
});
export type SignedJointRecord = z.infer<typeof signedJointRecordSchema>;

/** The text that is hashed and signed. */
export function jointRecordText(record: JointRecord): string {
  return canonicalJson(record);
}
