/**
 * One file with everything the dashboard keeps: a gzipped tar of a manifest, the database and, where asked,
 * the keys. Written beside its place and renamed into it, so that a file of that name is always whole.
 */
import { createHash } from 'node:crypto';
import { createReadStream, createWriteStream, existsSync } from 'node:fs';
import { open, rename, rm } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { createGzip } from 'node:zlib';
import { EXIT, ProgramError } from '#core/program/program-error';
import { MACHINES_FILE } from '../machines/machine-table.ts';
import { LAYOUT } from '../store/migrations.ts';
import type { Sqlite } from '../store/sqlite-store.ts';
import { storeErrorKind } from '../store/store-errors.ts';
import {
  BACKUP_SCHEMA,
  type BackupManifest,
  DATABASE_NAME,
  MANIFEST_NAME,
  MANIFEST_SUM_NAME,
  MAX_LEFT_OUT,
  manifestSum,
} from './backup-manifest.ts';
import { hashFile } from './file-hash.ts';
import { machinesCopy } from './machines-copy.ts';
import { type SideFile, sideFiles } from './side-files.ts';
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

interface Beside {
  readonly kept: readonly SideFile[];
  readonly leftOut: string[];
}

/** One member: a file that nobody else writes, or its bytes. */
interface Source {
  readonly name: string;
  readonly bytes: number;
  readonly sha256: string;
  readonly content: string | Buffer;
}

/** Throws ProgramError; whatever happens, nothing but a whole backup is left under `file`. */
export async function writeBackup(options: WriteBackupOptions): Promise<BackupManifest & { bytes: number }> {
  const { data, file, sqlite, now, software, onProgress } = options;
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
    const { kept, leftOut } = await besideStore(options);
    const sources: Source[] = [
      { name: DATABASE_NAME, ...(await hashFile(snapshot)), content: snapshot },
      ...kept.map(({ name, content }) => ({
        ...{ name, content, bytes: content.length },
        sha256: createHash('sha256').update(content).digest('hex'),
      })),
    ];
    const members = sources.map(({ name, bytes, sha256 }) => ({ name, bytes, sha256 }));
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

/** A list of machines that cannot be read keeps nobody from backing up the records. */
async function besideStore({ data, sqlite, withKeys }: WriteBackupOptions): Promise<Beside> {
  const { kept, leftOut } = await sideFiles(data, withKeys);
  try {
    const machines = machinesCopy(sqlite, data);
    return { kept: machines ? [machines, ...kept] : kept, leftOut };
  } catch (error) {
    if (storeErrorKind(error) === null) throw error;
    return { kept, leftOut: [`${MACHINES_FILE} (cannot be read)`, ...leftOut.slice(0, MAX_LEFT_OUT - 1)] };
  }
}

async function* archive(
  manifest: BackupManifest,
  sources: readonly Source[],
  at: Date,
  onBytes: (bytes: number) => void,
): AsyncGenerator<Buffer> {
  const mtimeS = at.getTime() / 1000;
  const text = Buffer.from(`${JSON.stringify(manifest, null, 2)}\n`, 'utf8');
  yield tarHeader({ name: MANIFEST_NAME, bytes: text.length }, mtimeS);
  yield text;
  yield Buffer.alloc(tarPadding(text.length));
  for (const { name, bytes, content } of sources) {
    yield tarHeader({ name, bytes }, mtimeS);
    for await (const piece of piecesOf(content)) {
      yield piece;
      onBytes(piece.length);
    }
    yield Buffer.alloc(tarPadding(bytes));
  }
  const sum = Buffer.from(manifestSum(createHash('sha256').update(text).digest('hex')), 'utf8');
  yield tarHeader({ name: MANIFEST_SUM_NAME, bytes: sum.length }, mtimeS);
  yield sum;
  yield Buffer.alloc(tarPadding(sum.length) + 2 * TAR_BLOCK);
}

async function* piecesOf(content: string | Buffer): AsyncGenerator<Buffer> {
  if (typeof content !== 'string') yield content;
  else yield* createReadStream(content, { highWaterMark: 1_048_576 }) as AsyncIterable<Buffer>;
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
