/**
 * A zip archive as it is made: file after file, piece after piece, none of it held whole. The same content gives the
 * same bytes: pieces are of one size, and times are given, not taken from a clock.
 */
import { createHash } from 'node:crypto';
import { setImmediate } from 'node:timers/promises';
import { Zip, ZipDeflate, ZipPassThrough } from 'fflate';

export interface ArchiveFile {
  /** Path within the archive, "/" between folders. */
  readonly name: string;
  readonly at: Date;
  readonly content: string | Uint8Array | Iterable<string>;
  /** True for what is packed already. */
  readonly packed?: boolean;
  /** Told when all of it has been read. */
  readonly onDone?: (written: WrittenFile) => void;
}

export interface WrittenFile {
  readonly name: string;
  readonly bytes: number;
  readonly sha256: string;
}

/** What a zip without its later extensions can hold. */
const MOST_BYTES = 0xff_00_00_00;
const MOST_FILES = 65_000;
const PIECE_BYTES = 65_536;

/** The archive cannot be made; one sentence. */
export class ArchiveError extends Error {}

export async function* zipStream(files: AsyncIterable<ArchiveFile>): AsyncGenerator<Uint8Array> {
  const ready: Uint8Array[] = [];
  let failed: Error | null = null;
  const zip = new Zip((error, piece) => {
    if (error) failed = error;
    else ready.push(piece);
  });
  let bytes = 0;
  let count = 0;
  const take = function* (): Generator<Uint8Array> {
    if (failed) throw failed;
    for (const piece of ready.splice(0)) {
      bytes += piece.length;
      if (bytes > MOST_BYTES)
        throw new ArchiveError('It would be more than 4 GB: export fewer joints at a time.');
      yield piece;
    }
  };
  for await (const file of files) {
    if (++count > MOST_FILES)
      throw new ArchiveError('It would be more files than a zip holds: export fewer joints.');
    const entry = file.packed ? new ZipPassThrough(file.name) : new ZipDeflate(file.name, { level: 6 });
    entry.mtime = zipTime(file.at);
    entry.extra = { 21589: utcStamp(file.at) };
    // Made on Unix, rw-r--r--.
    entry.os = 3;
    entry.attrs = 0o100644 << 16;
    zip.add(entry);
    const hash = createHash('sha256');
    let size = 0;
    for (const piece of inPieces(file.content)) {
      hash.update(piece);
      size += piece.length;
      entry.push(piece);
      yield* take();
      await setImmediate();
    }
    entry.push(new Uint8Array(0), true);
    yield* take();
    file.onDone?.({ name: file.name, bytes: size, sha256: hash.digest('hex') });
  }
  zip.end();
  yield* take();
}

/** Content as bytes in pieces of one size. */
export function* inPieces(content: ArchiveFile['content']): Generator<Uint8Array> {
  if (typeof content === 'string' || content instanceof Uint8Array) {
    const whole = typeof content === 'string' ? Buffer.from(content, 'utf8') : content;
    for (let at = 0; at < whole.length; at += PIECE_BYTES) yield whole.subarray(at, at + PIECE_BYTES);
    return;
  }
  let waiting: string[] = [];
  let length = 0;
  for (const text of content) {
    waiting.push(text);
    length += text.length;
    if (length < PIECE_BYTES) continue;
    yield Buffer.from(waiting.join(''), 'utf8');
    waiting = [];
    length = 0;
  }
  if (length > 0) yield Buffer.from(waiting.join(''), 'utf8');
}

/** A zip's own times have no zone and begin in 1980: UTC is written as it is. */
function zipTime(at: Date): Date {
  const shown = at.getTime() < Date.UTC(1980, 0, 2) ? new Date(Date.UTC(1980, 0, 2)) : at;
  return new Date(
    shown.getUTCFullYear(),
    shown.getUTCMonth(),
    shown.getUTCDate(),
    shown.getUTCHours(),
    shown.getUTCMinutes(),
    shown.getUTCSeconds(),
  );
}

/** The "extended timestamp" field (Info-ZIP): time of change, s since 1970 UTC, which is what unpackers set. */
function utcStamp(at: Date): Uint8Array {
  const field = Buffer.alloc(5);
  field[0] = 1;
  field.writeInt32LE(Math.max(0, Math.floor(at.getTime() / 1000)), 1);
  return field;
}
