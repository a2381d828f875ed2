/**
 * What a board got when it was enrolled, beside its store and its seal key, where the service's user may write:
 * `STORE.enrolment/` with `key.pem` and `certificate.pem`, or `secret`; `authority.pem`; `enrolment.json` says of them.
 * The key was made here and never leaves; it is readable by its user only.
 */
import {
  closeSync,
  existsSync,
  fchownSync,
  fsyncSync,
  lchownSync,
  mkdirSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { z } from 'zod';
import { topicIdSchema, utcSchema } from '#core/messages/common';
import { EXIT, ProgramError } from '#core/program/program-error';

const keptSchema = z.strictObject({
  schema: z.literal('girthlog.enrolment-kept/1'),
  site: topicIdSchema,
  rig: topicIdSchema,
  /** Where the broker is. */
  url: z.string(),
  /** With `secret`; null with a certificate. */
  username: z.string().nullable(),
  /** The dashboard that was asked. */
  dashboard: z.string(),
  enrolledAt: utcSchema,
  /** When the certificate ends; null with a secret. */
  endsAt: utcSchema.nullable(),
});
export type KeptEnrolment = z.infer<typeof keptSchema>;

const ABOUT = 'enrolment.json';
export const ENROLMENT_FILES = {
  key: 'key.pem',
  certificate: 'certificate.pem',
  authority: 'authority.pem',
  secret: 'secret',
} as const;

export function enrolmentFolderOf(storePath: string): string {
  return `${storePath}.enrolment`;
}

/** Null where the board was not enrolled. Throws ProgramError on a folder that cannot be read. */
export function readEnrolment(storePath: string): KeptEnrolment | null {
  const file = join(enrolmentFolderOf(storePath), ABOUT);
  if (!existsSync(file)) return null;
  try {
    return keptSchema.parse(JSON.parse(readFileSync(file, 'utf8')));
  } catch (error) {
    const reason = (error as NodeJS.ErrnoException).code ?? 'it is not what "enrol" writes';
    throw new ProgramError(`${file} cannot be read (${reason}): enrol the board again`, EXIT.configuration);
  }
}

/** Takes the place of an earlier enrolment, whole or not at all. Contents by file name. Throws ProgramError. */
export function keepEnrolment(
  storePath: string,
  about: KeptEnrolment,
  files: Readonly<Record<string, string>>,
): string {
  const folder = enrolmentFolderOf(storePath);
  const unfinished = `${folder}.new`;
  const before = `${folder}.before`;
  try {
    mkdirSync(dirname(storePath), { recursive: true });
    rmSync(unfinished, { recursive: true, force: true });
    mkdirSync(unfinished, { mode: 0o700 });
    const owner = ownerLike(dirname(storePath));
    for (const [name, text] of Object.entries(files)) writePrivate(join(unfinished, name), text, owner);
    writePrivate(join(unfinished, ABOUT), `${JSON.stringify(about, null, 2)}\n`, owner);
    giveTo(unfinished, dirname(storePath));
    rmSync(before, { recursive: true, force: true });
    if (existsSync(folder)) renameSync(folder, before);
    renameSync(unfinished, folder);
    rmSync(before, { recursive: true, force: true });
  } catch (error) {
    throw new ProgramError(
      `${folder} cannot be written (${(error as NodeJS.ErrnoException).code ?? error}): run this as the service's user`,
      EXIT.configuration,
    );
  }
  return folder;
}

function writePrivate(file: string, text: string, owner: Owner | null): void {
  const handle = openSync(file, 'wx', 0o400);
  try {
    if (owner) fchownSync(handle, owner.uid, owner.gid);
    writeSync(handle, text);
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

interface Owner {
  readonly uid: number;
  readonly gid: number;
}

/** Run by root beside a service's store, it is the service that has to read it. Null: nothing is to be given. */
function ownerLike(like: string): Owner | null {
  if (process.getuid?.() !== 0) return null;
  const { uid, gid } = statSync(like);
  return uid === 0 ? null : { uid, gid };
}

/** The path itself, never what a link there leads to: the service may have put one where root is about to give. */
export function giveTo(path: string, like: string): void {
  const owner = ownerLike(like);
  if (owner) lchownSync(path, owner.uid, owner.gid);
}
