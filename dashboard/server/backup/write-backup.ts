/**
 * One file with everything the dashboard keeps: a gzipped tar of a manifest, the database and, where asked,
 * the keys. Written beside its place and renamed into it, so that a file of that name is always whole.
 */
import { createHash } from 'node:crypto';
import { createReadStream, createWriteStream, existsSync } from 'node:fs';
import { lstat, open, readdir, rename, rm } from 'node:fs/promises';
import { basename, dirname, join, relative } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { createGzip } from 'node:zlib';
import { EXIT, ProgramError } from '#core/program/program-error';
import { LAYOUT } from '../store/migrations.ts';
import type { Sqlite } from '../store/sqlite-store.ts';
import {
  BACKUP_SCHEMA,
  type BackupManifest,
  DATABASE_NAME,
  isMemberName,
  MANIFEST_NAME,
  MANIFEST_SUM_NAME,
  manifestSum,
} from './backup-manifest.ts';
import { hashFile } from './file-hash.ts';
import { takeSnapshot } from './store-snapshot.ts';
import { syncFolder } from './sync-folder.ts';
import { TAR_BLOCK, tarHeader, tarPadding } from './tar-format.ts';

export interface WriteBackupOptions {
  /** Directory of the store. */
  readonly data: string;
  /** The backup; must not exist. */
  readonly file: string;
  /** Private keys, and other small files of the data directory, go in too; what is no secret always does. */
  readonly withKeys: boolean;
  readonly sqlite: Sqlite;
  readonly software: string;
  readonly now: () => Date;
  readonly onProgress: (step: 'copying' | 'packing', part: number) => void;
}

/** Larger files beside the store are none of ours. */
const MAX_SIDE_FILE_BYTES = 1_048_576;
/** No secret: public keys and certificates, by which what is signed is checked, and what the rigs said of themselves. */
const PUBLIC = /\.(?:pub|crt|pub\.pem)$|^rig-info\.json$/;

/** Throws ProgramError; whatever happens, nothing but a whole backup is left under `file`. */
export async function writeBackup(options: WriteBackupOptions): Promise<BackupManifest & { bytes: number }> {
  const { data, file, sqlite, now, software, withKeys, onProgress } = options;
  const database = join(data, DATABASE_NAME);
  if (!existsSync(database)) {
    throw new ProgramError(
      `There is no store in ${data}: name its directory with --data.`,
      EXIT.nothingFound,
    );
  }
  if (existsSync(file)) {
    throw new ProgramError(
      `${file} exists already and is not overwritten: give the backup another name.`,
      EXIT.configuration,
    );
  }
  const snapshot = `${file}.snapshot-${process.pid}`;
  const part = `${file}.part-${process.pid}`;
  try {
    await claim(snapshot);
    const at = now();
    const facts = await takeSnapshot({
      sqlite,
      source: database,
      target: snapshot,
      onProgress: part => onProgress('copying', part),
    });
    if (facts.layout > LAYOUT) {
      throw new ProgramError(
        `The store in ${data} was written by a newer Girthlog (layout ${facts.layout}): back it up with that version.`,
        EXIT.configuration,
      );
    }
    const { kept, leftOut } = await sideFiles(data, withKeys);
    const sources = [{ name: DATABASE_NAME, path: snapshot }, ...kept];
    const members = [];
    for (const { name, path } of sources) members.push({ name, ...(await hashFile(path)) });
    const manifest: BackupManifest = {
      schema: BACKUP_SCHEMA,
      at: at.toISOString(),
      software,
      ...facts,
      members,
      leftOut,
    };
    const total = members.reduce((sum, { bytes }) => sum + bytes, 0);
    let packed = 0;
    const onBytes = (bytes: number): void => {
      packed += bytes;
      onProgress('packing', packed / total);
    };
    await pipeline(
      Readable.from(archive(manifest, sources, at, onBytes)),
      createGzip({ level: 1 }),
      createWriteStream(part, { flags: 'wx', mode: 0o600 }),
    );
    const handle = await open(part, 'r+');
    const { size } = await handle.stat();
    await handle.sync().finally(() => handle.close());
    await rename(part, file);
    syncFolder(dirname(file));
    return { ...manifest, bytes: size };
  } catch (error) {
    throw explain(error, options);
  } finally {
    for (const left of [snapshot, `${snapshot}-journal`, part]) await rm(left, { force: true });
  }
}

async function* archive(
  manifest: BackupManifest,
  sources: readonly { readonly name: string; readonly path: string }[],
  at: Date,
  onBytes: (bytes: number) => void,
): AsyncGenerator<Buffer> {
  const mtimeS = at.getTime() / 1000;
  const text = Buffer.from(`${JSON.stringify(manifest, null, 2)}\n`, 'utf8');
  yield tarHeader({ name: MANIFEST_NAME, bytes: text.length }, mtimeS);
  yield text;
  yield Buffer.alloc(tarPadding(text.length));
  for (const [i, { name, path }] of sources.entries()) {
    const { bytes } = manifest.members[i]!;
    yield tarHeader({ name, bytes }, mtimeS);
    for await (const piece of createReadStream(path, { highWaterMark: 1_048_576 })) {
      yield piece as Buffer;
      onBytes((piece as Buffer).length);
    }
    yield Buffer.alloc(tarPadding(bytes));
  }
  const sum = Buffer.from(manifestSum(createHash('sha256').update(text).digest('hex')), 'utf8');
  yield tarHeader({ name: MANIFEST_SUM_NAME, bytes: sum.length }, mtimeS);
  yield sum;
  yield Buffer.alloc(tarPadding(sum.length) + 2 * TAR_BLOCK);
}

/** Small files beside the store and one folder deep: its keys. What can be made anew is neither kept nor named. */
async function sideFiles(
  data: string,
  withKeys: boolean,
): Promise<{ kept: { name: string; path: string }[]; leftOut: string[] }> {
  const kept: { name: string; path: string }[] = [];
  const leftOut: string[] = [];
  const visit = async (folder: string, deep: boolean): Promise<void> => {
    for (const entry of await readdir(folder, { withFileTypes: true })) {
      const path = join(folder, entry.name);
      const name = relative(data, path);
      if (entry.isDirectory() && !deep) await visit(path, true);
      // The store itself, copies of older layouts and damaged ones, and the cursors of projections.
      if (!entry.isFile() || /\.(sqlite3|db)(?:[.-]|$)/.test(entry.name)) continue;
      const { size } = await lstat(path);
      const wanted = withKeys || PUBLIC.test(entry.name);
      if (wanted && isMemberName(name) && size <= MAX_SIDE_FILE_BYTES) kept.push({ name, path });
      else leftOut.push(name.slice(0, 100));
    }
  };
  await visit(data, false);
  return { kept, leftOut };
}

/** An empty file of one's own, before SQLite would make it readable for all. */
async function claim(path: string): Promise<void> {
  await (await open(path, 'wx', 0o600)).close();
}

function explain(error: unknown, { file, data }: WriteBackupOptions): unknown {
  if (error instanceof ProgramError) return error;
  const { code = '', message } = error as { code?: string; message: string };
  if (code === 'ENOSPC' || code === 'SQLITE_FULL') {
    return new ProgramError(
      `The disk of ${dirname(file)} is full: a backup needs about twice the store's size there while it is made.`,
      EXIT.network,
    );
  }
  if (code.startsWith('SQLITE_CORRUPT') || code.startsWith('SQLITE_NOTADB') || code === 'SQLITE_ERROR') {
    return new ProgramError(
      `The store in ${data} is damaged and was not backed up (${message}): keep the last good backup, and see docs/backup.md.`,
      EXIT.integrity,
    );
  }
  if (/^E[A-Z]+$/.test(code)) {
    return new ProgramError(
      `Cannot write ${basename(file)} in ${dirname(file)} (${code}).`,
      EXIT.configuration,
    );
  }
  return error;
}
