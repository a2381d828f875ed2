/**
 * What a board got when it was enrolled, beside its store and its seal key, where the service's user may write:
 * `STORE.enrolment/` with `key.pem` and `certificate.pem`, or `secret`; `authority.pem`; `enrolment.json` says of them.
 * The key was made here and never leaves; it is readable by its user only.
 */
import {
  chownSync,
  closeSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readdirSync,
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
    for (const [name, text] of Object.entries(files)) writePrivate(join(unfinished, name), text);
    writePrivate(join(unfinished, ABOUT), `${JSON.stringify(about, null, 2)}\n`);
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

function writePrivate(file: string, text: string): void {
  const handle = openSync(file, 'wx', 0o400);
  try {
    writeSync(handle, text);
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** Run by root beside a service's store, it is the service that has to read it. */
export function giveTo(path: string, like: string): void {
  if (process.getuid?.() !== 0) return;
  const { uid, gid } = statSync(like);
  if (uid === 0) return;
  const isFolder = statSync(path).isDirectory();
  for (const one of [path, ...(isFolder ? readdirSync(path).map(name => join(path, name)) : [])]) {
    chownSync(one, uid, gid);
  }
}
