/**
 * A backup back into an empty folder. Everything is unpacked and checked in a folder of its own inside it; only
 * then is it moved to its place, the database last. Whatever fails, nothing half-written stays.
 */
import { existsSync, mkdirSync, readdirSync, renameSync, rmSync, statfsSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { EXIT, ProgramError } from '#core/program/program-error';
import type { Sqlite } from '../store/sqlite-store.ts';
import { type BackupManifest, DATABASE_NAME } from './backup-manifest.ts';
import { damagedBackup, readBackup } from './read-backup.ts';
import { storeFacts } from './store-facts.ts';
import { syncFolder } from './sync-folder.ts';

export interface RestoreOptions {
  readonly file: string;
  /** Made if missing; must be empty. */
  readonly into: string;
  readonly sqlite: Sqlite;
  /** 0 to 1. */
  readonly onProgress: (part: number) => void;
}

/** Unpacked here first; all that a restore that was cut off leaves behind. */
const WORK_FOLDER = 'restore-in-progress';

/** Throws ProgramError: 3 for a file or folder that cannot be used, 8 for a backup that is not whole. */
export async function restoreBackup(options: RestoreOptions): Promise<BackupManifest> {
  const { into } = options;
  const existed = existsSync(into);
  const work = join(into, WORK_FOLDER);
  let whole = false;
  try {
    requireEmpty(into);
    rmSync(work, { recursive: true, force: true });
    mkdirSync(work, { recursive: true, mode: 0o700 });
    const manifest = await unpack(options, work);
    checkStore(options, join(work, DATABASE_NAME), manifest);
    moveIntoPlace(work, into, manifest);
    whole = true;
    return manifest;
  } catch (error) {
    throw explain(error, options);
  } finally {
    rmSync(work, { recursive: true, force: true });
    if (!whole && !existed) rmSync(into, { recursive: true, force: true });
  }
}

function requireEmpty(into: string): void {
  if (!existsSync(into) || readdirSync(into).every(name => name === WORK_FOLDER)) return;
  throw new ProgramError(
    `${into} is not empty, and a backup is restored into an empty folder only: name another with --into.`,
    EXIT.configuration,
  );
}

async function unpack({ file, into, onProgress }: RestoreOptions, work: string): Promise<BackupManifest> {
  return readBackup({
    file,
    onProgress,
    onManifest: ({ members }) =>
      requireRoom(
        into,
        members.reduce((sum, { bytes }) => sum + bytes, 0),
      ),
    openMember: async name => {
      const target = join(work, name);
      mkdirSync(dirname(target), { recursive: true, mode: 0o700 });
      const handle = await open(target, 'wx', 0o600);
      return {
        write: piece => handle.write(piece),
        close: async () => {
          await handle.sync();
          await handle.close();
        },
      };
    },
  });
}

function requireRoom(into: string, bytes: number): void {
  const { bavail, bsize } = statfsSync(into);
  if (bavail * bsize > bytes * 1.05) return;
  const megabytes = Math.ceil(bytes / 1e6);
  throw new ProgramError(
    `The backup needs ${megabytes} MB, and the disk of ${into} has less free.`,
    EXIT.configuration,
  );
}

/** What comes out must be what went in, asked of the store itself. */
function checkStore({ sqlite, file }: RestoreOptions, path: string, manifest: BackupManifest): void {
  const db = sqlite(path, { readonly: true, fileMustExist: true });
  try {
    const { layout, counts, streams } = storeFacts(db);
    const found = JSON.stringify({ layout, counts, streams });
    const stated = JSON.stringify({
      layout: manifest.layout,
      counts: manifest.counts,
      streams: manifest.streams,
    });
    if (found !== stated) throw damagedBackup(file, 'its database does not hold what the manifest says');
  } finally {
    db.close();
  }
}

function moveIntoPlace(work: string, into: string, manifest: BackupManifest): void {
  const last = (name: string): number => Number(name === DATABASE_NAME);
  for (const { name } of [...manifest.members].sort((a, b) => last(a.name) - last(b.name))) {
    const target = join(into, name);
    mkdirSync(dirname(target), { recursive: true, mode: 0o700 });
    renameSync(join(work, name), target);
    syncFolder(dirname(target));
  }
  syncFolder(into);
}

function explain(error: unknown, { file, into }: RestoreOptions): unknown {
  if (error instanceof ProgramError) return error;
  const { code = '', message } = error as { code?: string; message: string };
  if (code.startsWith('SQLITE_')) return damagedBackup(file, `its database cannot be read (${message})`);
  if (/^E[A-Z]+$/.test(code)) {
    return new ProgramError(`Cannot restore ${file} into ${into} (${code}).`, EXIT.configuration);
  }
  return error;
}
