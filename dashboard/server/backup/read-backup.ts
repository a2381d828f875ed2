/**
 * Reads a backup from its first byte to its last and checks all of it on the way; nothing of it is believed before.
 * What its members are for, and where they go, is the caller's.
 */
import { createHash } from 'node:crypto';
import { createReadStream, existsSync } from 'node:fs';
import { pipeline } from 'node:stream';
import { createGunzip } from 'node:zlib';
import { EXIT, ProgramError } from '#core/program/program-error';
import { LAYOUT } from '../store/migrations.ts';
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
import { readTarHeader, TAR_BLOCK, type TarEntry, TarFormatError, tarPadding } from './tar-format.ts';

export interface MemberSink {
  readonly write: (piece: Buffer) => Promise<unknown> | unknown;
  readonly close: () => Promise<unknown> | unknown;
}

export interface ReadBackupOptions {
  readonly file: string;
  /** Called before any member is read; may throw. */
  readonly onManifest: (manifest: BackupManifest) => void;
  readonly openMember: (name: string) => Promise<MemberSink> | MemberSink;
  /** 0 to 1. */
  readonly onProgress: (part: number) => void;
}

/** Throws ProgramError: 3 for a file that is no backup or a newer one, 8 for one that is not whole. */
export async function readBackup(options: ReadBackupOptions): Promise<BackupManifest> {
  const { file } = options;
  if (!existsSync(file)) throw new ProgramError(`There is no file ${file}.`, EXIT.configuration);
  try {
    return await readAll(options);
  } catch (error) {
    throw explain(error, file);
  }
}

async function readAll({
  file,
  onManifest,
  openMember,
  onProgress,
}: ReadBackupOptions): Promise<BackupManifest> {
  const source = createReadStream(file, { highWaterMark: 1_048_576 });
  // Errors of either reach the reader.
  const reader = new ByteReader(pipeline(source, createGunzip(), () => undefined) as AsyncIterable<Buffer>);
  try {
    const { manifest, sha256 } = await readManifest(reader, file);
    onManifest(manifest);
    const total = manifest.members.reduce((sum, { bytes }) => sum + bytes, 0);
    let done = 0;
    for (const member of manifest.members) {
      const header = readTarHeader(await reader.read(TAR_BLOCK));
      if (header?.name !== member.name || header.bytes !== member.bytes) {
        throw damagedBackup(file, 'its members are not those it lists');
      }
      const hash = createHash('sha256');
      const sink = await openMember(member.name);
      try {
        for await (const piece of reader.take(member.bytes)) {
          hash.update(piece);
          await sink.write(piece);
          done += piece.length;
          onProgress(done / total);
        }
      } finally {
        await sink.close();
      }
      if (hash.digest('hex') !== member.sha256) {
        throw damagedBackup(file, `${member.name} does not have its hash`);
      }
      await reader.read(tarPadding(member.bytes));
    }
    const sum = Buffer.from(manifestSum(sha256), 'utf8');
    const last = readTarHeader(await reader.read(TAR_BLOCK));
    if (last?.name !== MANIFEST_SUM_NAME || !(await reader.read(sum.length)).equals(sum)) {
      throw damagedBackup(file, 'its manifest does not have its hash');
    }
    if (!(await reader.drain())) throw damagedBackup(file, 'it holds more than it lists');
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
    throw damagedBackup(file, `its manifest does not fit: ${issue?.path.join('.')}`);
  }
  const names = parsed.data.members.map(member => member.name);
  if (!names.includes(DATABASE_NAME) || new Set(names).size !== names.length)
    throw damagedBackup(file, 'its manifest does not fit: members');
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

export function damagedBackup(file: string, why: string): ProgramError {
  return new ProgramError(
    `${file} is damaged and was not restored: ${why}. Take another backup.`,
    EXIT.integrity,
  );
}

function foreign(file: string): ProgramError {
  return new ProgramError(`${file} is not a backup of girthlog-dashboard.`, EXIT.configuration);
}

function explain(error: unknown, file: string): unknown {
  if (error instanceof ProgramError) return error;
  const { code = '', message } = error as { code?: string; message: string };
  if (error instanceof EndOfBytesError || code === 'Z_BUF_ERROR')
    return damagedBackup(file, 'it ends too early');
  // Not even its first bytes are a gzip file's.
  if (code === 'Z_DATA_ERROR' && /incorrect header/.test(message)) return foreign(file);
  if (code.startsWith('Z_') || error instanceof TarFormatError) return damagedBackup(file, message);
  return error;
}
