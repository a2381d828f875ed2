/** What a verification found: of a whole store, of one joint, or of one exported joint record. */
import { z } from 'zod';
import { labelSchema, sha256HexSchema, streamIdSchema, topicIdSchema, utcSchema } from './common.ts';

/** Something kept that is not what was recorded, entered or signed. */
export const verifyProblemSchema = z.strictObject({
  part: z.enum(['record', 'pass', 'seal', 'journal', 'head', 'key', 'document', 'accounts']),
  /** One sentence: which, and why it does not fit. */
  text: z.string(),
  site: topicIdSchema.nullable(),
  rig: topicIdSchema.nullable(),
  stream: streamIdSchema.nullable(),
  /** The batch, where it is about one. */
  seq: z.int().nullable(),
  passId: z.string().nullable(),
  /** Number of the journal entry, where it is about one. */
  entry: z.int().nullable(),
});
export type VerifyProblem = z.infer<typeof verifyProblemSchema>;

/** `girthlog-dashboard verify --json`, and POST /api/v1/joints/{joint}/verification. */
export const verifyReportSchema = z.strictObject({
  schema: z.literal('girthlog.verify/1'),
  at: utcSchema,
  software: z.string(),
  scope: z.enum(['store', 'joint', 'file']),
  joint: labelSchema.nullable(),
  fits: z.boolean(),
  /** The first of each stream, of the journal and of the log of accounts, in this order; empty where everything fits. */
  problems: z.array(verifyProblemSchema),
  checked: z.strictObject({
    streams: z.int(),
    records: z.int(),
    passes: z.int(),
    seals: z.int(),
    entries: z.int(),
  }),
  /** What is true though nothing is wrong: pruned batches, passes without a seal, keys nobody compared. */
  notes: z.array(z.string()),
  /** Fingerprints of the keys that signed, to be compared with what people wrote down. */
  keys: z.array(z.strictObject({ of: z.string(), fingerprint: sha256HexSchema })),
});
export type VerifyReport = z.infer<typeof verifyReportSchema>;
