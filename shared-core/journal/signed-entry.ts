/**
 * A journal entry as it is chained and signed. Its text is the canonical JSON (RFC 8785) of the document below:
 * SHA-256 of the UTF-8 text is the entry's hash, which the next entry names as `prev`; the Ed25519 signature
 * (RFC 8032) is over the same bytes. Both are made and checked by the rooms that can hash.
 */
import { z } from 'zod';
import { sha256HexSchema } from '../messages/common.ts';
import { canonicalJson } from '../record/canonical-json.ts';
import { entrySchema } from './entry.ts';

/** What the first entry names as the one before it. */
export const JOURNAL_START = '0'.repeat(64);

export const signedDocumentSchema = z.strictObject({
  schema: z.literal('girthlog.journal-entry/1'),
  /** Hash of entry `number` − 1; JOURNAL_START for number 1. */
  prev: sha256HexSchema,
  /** Fingerprint of the key that signs: SHA-256 of its 32 bytes. */
  key: sha256HexSchema,
  /**
   * `entered`: signed as it was entered. `foundAtMigration`: it stood in a journal that was not signed yet; the
   * signature says what stood there at the migration, and nothing of the time before.
   */
  signedAs: z.enum(['entered', 'foundAtMigration']),
  entry: entrySchema,
});
export type SignedDocument = z.infer<typeof signedDocumentSchema>;

/** 64 bytes, hex. */
export const signatureSchema = z.string().regex(/^[0-9a-f]{128}$/);

/** The document with what was made of its text. */
export const signedEntrySchema = z.strictObject({
  document: signedDocumentSchema,
  hash: sha256HexSchema,
  signature: signatureSchema,
});
export type SignedEntry = z.infer<typeof signedEntrySchema>;

/** The text that is hashed and signed. Throws NotCanonicalError where a text of the entry is broken. */
export function signedEntryText(document: SignedDocument): string {
  return canonicalJson(document);
}
