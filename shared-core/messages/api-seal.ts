/** What the dashboard says of the seals it keeps (docs/seals.md). */
import { z } from 'zod';
import { publicKeySchema, signedSealSchema } from '../record/seal.ts';
import {
  labelSchema,
  originSchema,
  sha256HexSchema,
  streamIdSchema,
  topicIdSchema,
  utcSchema,
} from './common.ts';

/**
 * `waiting`: not checked yet, or records before it are not here; `verified`: signature, order, root and pass hold;
 * `partly`: they hold as far as the batches are here; `failed`: see `problem`.
 */
export const sealStateSchema = z.enum(['waiting', 'verified', 'partly', 'failed']);

const facts = {
  site: topicIdSchema,
  rig: topicIdSchema,
  stream: streamIdSchema,
  /** The record that carried it. */
  seq: z.int().positive(),
  state: sealStateSchema,
  /** One sentence; of a `partly` seal what could not be checked. */
  problem: z.string().nullable(),
  receivedAt: utcSchema,
  /** Null before it was checked, and where it cannot be read. */
  number: z.int().positive().nullable(),
  kind: z.enum(['pass', 'checkpoint', 'key']).nullable(),
  passId: z.string().nullable(),
  hash: sha256HexSchema.nullable(),
  keyId: sha256HexSchema.nullable(),
};

/** GET /api/v1/seals?site=&rig=&state=&limit=&before= : newest first. */
export const sealListSchema = z.strictObject({
  seals: z.array(z.strictObject(facts)),
  next: z.string().nullable(),
});
export type SealList = z.infer<typeof sealListSchema>;

/** GET /api/v1/passes/{passId}/seal: with the document itself, to be handed on and checked elsewhere. */
export const passSealAnswerSchema = z.strictObject({ ...facts, signed: signedSealSchema });
export type PassSealAnswer = z.infer<typeof passSealAnswerSchema>;

/** GET /api/v1/joints/{joint}/seals?origin= : each closed pass and how its seal stands; `missing` where none came. */
export const jointSealsSchema = z.strictObject({
  joint: labelSchema,
  origin: originSchema,
  passes: z.array(
    z.strictObject({
      passId: z.string(),
      state: z.enum([...sealStateSchema.options, 'missing']),
      problem: z.string().nullable(),
      keyId: sha256HexSchema.nullable(),
      /** Whether the rig's pinned keys, now or before, hold the one that signed it. */
      trusted: z.boolean(),
    }),
  ),
});
export type JointSeals = z.infer<typeof jointSealsSchema>;

/** GET /api/v1/rigs/{site}/{rig}/seal-keys: in the order they were seen. */
export const sealKeysSchema = z.strictObject({
  keys: z.array(
    z.strictObject({
      keyId: sha256HexSchema,
      publicKey: publicKeySchema,
      /** `pinned`: trusted now; `retired`: trusted until it announced the next; `refused`: never. */
      state: z.enum(['pinned', 'retired', 'refused']),
      /** `enrolled`: the board showed it with the one-time code that somebody had made for the rig. */
      how: z.enum(['firstSeen', 'announced', 'unannounced', 'accepted', 'enrolled']),
      since: utcSchema,
      /** Of an accepted one: id of the person, and why. */
      decidedBy: z.string().nullable(),
      reason: z.string().nullable(),
    }),
  ),
});
export type SealKeys = z.infer<typeof sealKeysSchema>;

/** POST /api/v1/rigs/{site}/{rig}/seal-keys: a person who compared the fingerprint at the board trusts a refused key. */
export const acceptSealKeySchema = z.strictObject({
  author: z.string().min(1).max(60),
  passphrase: z.string().max(512),
  keyId: sha256HexSchema,
  reason: z.string().trim().min(1).max(500),
});
