/** Reads black-box files: which there are, and their frames one by one. Nothing is held whole in memory. */
import { closeSync, createReadStream, openSync, readdirSync, readSync, statSync } from 'node:fs';
import { join } from 'node:path';
import {
  type BlackBoxFrame,
  type BlackBoxHeader,
  blackBoxHeaderSchema,
  decodeFrame,
  FRAME_HEAD,
  MAGIC,
  SUFFIX,
} from './black-box-format.ts';

/** Header and all: more is no header of ours. */
const HEADER_MOST = 2048;

export interface BlackBoxFile {
  readonly path: string;
  readonly bytes: number;
  readonly header: BlackBoxHeader;
}

/** Oldest first; files that are none of ours are passed over. */
export function listBlackBox(folder: string): BlackBoxFile[] {
  let names: string[];
  try {
    names = readdirSync(folder);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return [];
    throw error;
  }
  return names
    .filter(name => name.endsWith(SUFFIX))
    .sort()
    .flatMap(name => {
      const path = join(folder, name);
      const header = readHeader(path)?.header;
      return header ? [{ path, bytes: statSync(path).size, header }] : [];
    });
}

/** Null for a file that is no black box. */
export function readHeader(path: string): { header: BlackBoxHeader; length: number } | null {
  const start = Buffer.alloc(HEADER_MOST);
  const file = openSync(path, 'r');
  let read: number;
  try {
    read = readSync(file, start, 0, HEADER_MOST, 0);
  } finally {
    closeSync(file);
  }
  const end = start.subarray(0, read).indexOf(0x0a, MAGIC.length);
  if (!start.subarray(0, MAGIC.length).equals(Buffer.from(MAGIC)) || end < 0) return null;
  try {
    const header = blackBoxHeaderSchema.parse(JSON.parse(start.toString('utf8', MAGIC.length, end)));
    return { header, length: end + 1 };
  } catch {
    return null;
  }
}

/** Until the file ends or a frame is torn. Throws what the file system throws. */
export async function* readFrames(path: string): AsyncGenerator<BlackBoxFrame> {
  const found = readHeader(path);
  if (!found) return;
  let rest: Buffer = Buffer.alloc(0);
  for await (const block of createReadStream(path, { start: found.length })) {
    rest = rest.length === 0 ? (block as Buffer) : Buffer.concat([rest, block as Buffer]);
    let offset = 0;
    for (;;) {
      const frame = decodeFrame(rest, offset);
      if (frame === undefined) return;
      if (frame === null) break;
      offset += FRAME_HEAD + frame.content.length;
      yield frame;
    }
    rest = rest.subarray(offset);
  }
}
