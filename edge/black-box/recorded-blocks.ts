/** A recording of bytes in pieces: a plain file as it is, a black-box file with the time each piece came. */
import { createReadStream } from 'node:fs';
import { KIND } from './black-box-format.ts';
import { readFrames, readHeader } from './black-box-reader.ts';

export interface RecordedBlock {
  readonly bytes: Uint8Array;
  /** Since the first piece, µs; 0 throughout a plain file, which does not tell. */
  readonly afterUs: number;
  /** The link was opened anew before this piece. */
  readonly reopened: boolean;
}

/** `onUnreadable` is told the error that ends it, which is then thrown. */
export async function* recordedBlocks(
  path: string,
  blockBytes: number,
  onUnreadable: (error: unknown) => void,
): AsyncGenerator<RecordedBlock> {
  const pieces = await openPieces(path, blockBytes).catch((error: unknown) => {
    onUnreadable(error);
    throw error;
  });
  for (;;) {
    const next = await pieces.next().catch((error: unknown) => {
      onUnreadable(error);
      throw error;
    });
    if (next.done) return;
    yield next.value;
  }
}

async function openPieces(path: string, blockBytes: number): Promise<AsyncGenerator<RecordedBlock>> {
  return readHeader(path) ? boxed(path) : plain(path, blockBytes);
}

async function* plain(path: string, highWaterMark: number): AsyncGenerator<RecordedBlock> {
  for await (const block of createReadStream(path, { highWaterMark })) {
    yield { bytes: block as Uint8Array, afterUs: 0, reopened: false };
  }
}

async function* boxed(path: string): AsyncGenerator<RecordedBlock> {
  let firstUs: number | null = null;
  let reopened = false;
  for await (const { kind, arrivalUs, content } of readFrames(path)) {
    firstUs ??= arrivalUs;
    if (kind === KIND.opened) reopened = true;
    if (kind !== KIND.bytes) continue;
    yield { bytes: content, afterUs: arrivalUs - firstUs, reopened };
    reopened = false;
  }
}
