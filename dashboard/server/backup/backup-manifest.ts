/** What a backup says of itself; its first member, so that it can be judged before anything is unpacked. */
import { z } from 'zod';
import {
  originSchema,
  sha256HexSchema,
  streamIdSchema,
  topicIdSchema,
  utcSchema,
} from '#core/messages/common';

export const BACKUP_SCHEMA = 'girthlog.backup/1';
export const MANIFEST_NAME = 'manifest.json';
/** Last member: the manifest's own SHA-256, as `sha256sum -c` reads it. */
export const MANIFEST_SUM_NAME = 'manifest.sha256';
export const DATABASE_NAME = 'dashboard.sqlite3';
export const MAX_MANIFEST_BYTES = 4_194_304;
export const MAX_MEMBERS = 1000;
export const MAX_LEFT_OUT = 1000;

/** A plain name, or one in one folder: no way up, no root, no drive, no hidden file. */
const MEMBER_NAME = /^(?:[A-Za-z0-9_][A-Za-z0-9_.-]{0,40}\/)?[A-Za-z0-9_][A-Za-z0-9_.-]{0,50}$/;

export function isMemberName(name: string): boolean {
  return MEMBER_NAME.test(name) && name !== MANIFEST_NAME && name !== MANIFEST_SUM_NAME;
}

/** The text of MANIFEST_SUM_NAME; `sha256` in lower-case hex. */
export function manifestSum(sha256: string): string {
  return `${sha256}  ${MANIFEST_NAME}\n`;
}

export const backupManifestSchema = z.strictObject({
  schema: z.literal(BACKUP_SCHEMA),
  /** When the snapshot was taken: everything committed before is in it, nothing after. */
  at: utcSchema,
  software: z.string().max(40),
  /** Layout of the store (docs/dashboard.md); a newer one needs a newer Girthlog. */
  layout: z.int().positive(),
  members: z
    .array(
      z.strictObject({
        name: z.string().refine(isMemberName, 'not a name a backup holds'),
        bytes: z.int().nonnegative(),
        sha256: sha256HexSchema,
      }),
    )
    .min(1)
    .max(MAX_MEMBERS),
  /** Rows of each table. */
  counts: z.record(z.string().max(64), z.int().nonnegative()),
  /** Where each stream stands: everything from `first` to `upto` is in it, `head` is the hash of `upto`. */
  streams: z.array(
    z.strictObject({
      site: topicIdSchema,
      rig: topicIdSchema,
      stream: streamIdSchema,
      origin: originSchema,
      first: z.int().positive().nullable(),
      upto: z.int().nonnegative(),
      head: sha256HexSchema,
      records: z.int().nonnegative(),
    }),
  ),
  /** Files of the data directory that were left out, keys among them. */
  leftOut: z.array(z.string().max(100)).max(MAX_LEFT_OUT),
});
export type BackupManifest = z.infer<typeof backupManifestSchema>;
