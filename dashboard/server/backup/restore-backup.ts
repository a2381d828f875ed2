/**
 * A backup back into an empty folder. Everything is unpacked and checked in a folder of its own inside it; only
 * then is it moved to its place, the database last. Whatever fails, nothing half-written stays.
 */
import { createHash } from 'node:crypto';
import {
  createReadStream,
  existsSync,
  mkdirSync,
  readdirSync,
  renameSync,
  rmSync,
  statfsSync,
} from 'node:fs';
import { open } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { pipeline } from 'node:stream';
import { createGunzip } from 'node:zlib';
import { EXIT, ProgramError } from '#core/program/program-error';
import { LAYOUT } from '../store/migrations.ts';
import type { Sqlite } from '../store/sqlite-store.ts';
import {
  BACKUP_SCHEMA,
  type BackupManifest,
  backupManifestSchema,
  DATABASE_NAME,
  MANIFEST_NAME,
  MANIFEST_SUM_NAME,
  MAX_MANIFEST_BYTES,
  manifestSum,
} from './backup-manifest.ts';
import { ByteReader, EndOfBytesError } from './byte-reader.ts';
import { storeFacts } from './store-facts.ts';
import { syncFolder } from './sync-folder.ts';
import { readTarHeader, TAR_BLOCK, type TarEntry, TarFormatError, tarPadding } from './tar-format.ts';

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
  const { file, into } = options;
  if (!existsSync(file)) throw new ProgramError(`There is no file ${file}.`, EXIT.configuration);
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
  const source = createReadStream(file, { highWaterMark: 1_048_576 });
  // Errors of either reach the reader.
  const reader = new ByteReader(pipeline(source, createGunzip(), () => undefined) as AsyncIterable<Buffer>);
  try {
    const { manifest, sha256 } = await readManifest(reader, file);
    const total = manifest.members.reduce((sum, { bytes }) => sum + bytes, 0);
    requireRoom(into, total);
    let done = 0;
    for (const member of manifest.members) {
      const header = readTarHeader(await reader.read(TAR_BLOCK));
      if (header?.name !== member.name || header.bytes !== member.bytes)
        throw damaged(file, 'its members are not those it lists');
      const target = join(work, member.name);
      mkdirSync(dirname(target), { recursive: true, mode: 0o700 });
      const hash = createHash('sha256');
      const handle = await open(target, 'wx', 0o600);
      try {
        for await (const piece of reader.take(member.bytes)) {
          hash.update(piece);
          await handle.write(piece);
          done += piece.length;
          onProgress(done / total);
        }
        await handle.sync();
      } finally {
        await handle.close();
      }
      if (hash.digest('hex') !== member.sha256) throw damaged(file, `${member.name} does not have its hash`);
      await reader.read(tarPadding(member.bytes));
    }
    const sum = Buffer.from(manifestSum(sha256), 'utf8');
    const last = readTarHeader(await reader.read(TAR_BLOCK));
    if (last?.name !== MANIFEST_SUM_NAME || !(await reader.read(sum.length)).equals(sum)) {
      throw damaged(file, 'its manifest does not have its hash');
    }
    if (!(await reader.drain())) throw damaged(file, 'it holds more than it lists');
    return manifest;
  } finally {
    source.destroy();
  }
}

async function readManifest(
  reader: ByteReader,
  file: string,
): Promise<{ manifest: BackupManifest; sha256: string }> {
  const header = firstHeader(await reader.read(TAR_BLOCK));
  if (header?.name !== MANIFEST_NAME || header.bytes > MAX_MANIFEST_BYTES) throw foreign(file);
  const text = await reader.read(header.bytes);
  let document: unknown;
  try {
    document = JSON.parse(text.toString('utf8'));
  } catch {
    throw foreign(file);
  }
  await reader.read(tarPadding(header.bytes));
  const { schema, layout } = (document ?? {}) as { schema?: unknown; layout?: unknown };
  if (typeof schema !== 'string' || !schema.startsWith('girthlog.backup/')) throw foreign(file);
  if (schema !== BACKUP_SCHEMA || (typeof layout === 'number' && layout > LAYOUT)) {
    const what = schema === BACKUP_SCHEMA ? `layout ${layout}` : schema;
    throw new ProgramError(
      `${file} was written by a newer Girthlog (${what}): restore it with that version or a later one.`,
      EXIT.configuration,
    );
  }
  const parsed = backupManifestSchema.safeParse(document);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    throw damaged(file, `its manifest does not fit: ${issue?.path.join('.')}`);
  }
  const names = parsed.data.members.map(member => member.name);
  if (!names.includes(DATABASE_NAME) || new Set(names).size !== names.length)
    throw damaged(file, 'its manifest does not fit: members');
  return { manifest: parsed.data, sha256: createHash('sha256').update(text).digest('hex') };
}

/** Null where the file is no tar at all. */
function firstHeader(block: Buffer): TarEntry | null {
  try {
    return readTarHeader(block);
  } catch (error) {
    if (error instanceof TarFormatError) return null;
    throw error;
  }
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
    if (found !== stated) throw damaged(file, 'its database does not hold what the manifest says');
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

function damaged(file: string, why: string): ProgramError {
  return new ProgramError(
    `${file} is damaged and was not restored: ${why}. Take another backup.`,
    EXIT.integrity,
  );
}

function foreign(file: string): ProgramError {
  return new ProgramError(`${file} is not a backup of girthlog-dashboard.`, EXIT.configuration);
}

function explain(error: unknown, { file, into }: RestoreOptions): unknown {
  if (error instanceof ProgramError) return error;
  const { code = '', message } = error as { code?: string; message: string };
  if (error instanceof EndOfBytesError || code === 'Z_BUF_ERROR') return damaged(file, 'it ends too early');
  // Not even its first bytes are a gzip file's.
  if (code === 'Z_DATA_ERROR' && /incorrect header/.test(message)) return foreign(file);
  if (code.startsWith('Z_') || error instanceof TarFormatError) return damaged(file, message);
  if (code.startsWith('SQLITE_')) return damaged(file, `its database cannot be read (${message})`);
  if (/^E[A-Z]+$/.test(code)) {
    return new ProgramError(`Cannot restore ${file} into ${into} (${code}).`, EXIT.configuration);
  }
  return error;
}
