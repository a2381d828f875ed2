/** HTTP shapes of dispositions and of the passphrases they are signed with. */
import { z } from 'zod';
import { entrySchema } from '../journal/entry.ts';
import { jointEntrySchemas } from '../journal/joint-entries.ts';
import { signedEntrySchema } from '../journal/signed-entry.ts';
import { newPassphraseText, triedPassphrase } from './api-account.ts';
import { labelSchema, sha256HexSchema, utcSchema } from './common.ts';

const personIdSchema = z.string().min(1).max(60);

/** POST /api/v1/people/{person}/passphrase. `author` is the person, or an administrator who proves to be one. */
export const newPassphraseSchema = z.strictObject({
  author: personIdSchema,
  /** The author's present passphrase; null only where the person sets a first one. */
  authorPassphrase: triedPassphrase.nullable(),
  passphrase: newPassphraseText,
});

/** POST /api/v1/joints/{joint}/dispositions */
export const newDispositionSchema = z.strictObject({
  author: personIdSchema,
  passphrase: triedPassphrase,
  shiftDate: z.iso.date(),
  decision: jointEntrySchemas.disposition.shape.decision,
  reason: z.string().trim().min(1).max(500),
  /** Id of the disposition this one puts right. */
  corrects: personIdSchema.nullable(),
});
export type NewDisposition = z.infer<typeof newDispositionSchema>;

/**
 * How an entry stands against its hash and signature: `holds`, or what does not. `otherKey`: signed by a key that is
 * not the dashboard's own, neither the present one nor an earlier one.
 */
export const signatureStateSchema = z.enum([
  'holds',
  'unsigned',
  'otherContent',
  'otherSignature',
  'otherKey',
]);
export type SignatureState = z.infer<typeof signatureStateSchema>;

/** GET /api/v1/joints/{joint}/dispositions : every one, in the order entered, corrected ones too. */
export const dispositionListSchema = z.strictObject({
  joint: labelSchema,
  dispositions: z.array(
    z.strictObject({
      entry: entrySchema,
      state: signatureStateSchema,
      /** Null where the entry is not signed. */
      signed: signedEntrySchema.nullable(),
    }),
  ),
});
export type DispositionList = z.infer<typeof dispositionListSchema>;

/** GET /api/v1/keys : what this dashboard signs with. */
export const dashboardKeysSchema = z.strictObject({
  dashboard: z.strictObject({
    /** SHA-256 of the 32 bytes of the public key, hex: what people compare. */
    fingerprint: sha256HexSchema,
    /** Hex of the 32 bytes. */
    publicKey: sha256HexSchema,
    /** The same as other programs read it. */
    publicKeyPem: z.string(),
  }),
  /** Keys this store was signed with, oldest first; more than one where a key was lost. */
  used: z.array(
    z.strictObject({ fingerprint: sha256HexSchema, publicKey: sha256HexSchema, since: utcSchema }),
  ),
});
export type DashboardKeys = z.infer<typeof dashboardKeysSchema>;
