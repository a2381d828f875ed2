/**
 * How far the store had come, in a small file beside it. SQLite drops the end of its log when a bit in it flips, and
 * says nothing: without this the numbers of what was dropped would be used again for other batches.
 *
 * Written after each commit and not synced: a kill loses nothing of it, a power cut at most its last half minute.
 */
import { closeSync, constants, ftruncateSync, openSync, readFileSync, writeSync } from 'node:fs';

export interface Head {
  readonly stream: string;
  readonly seq: number;
  readonly hash: string;
}

const fileOf = (storePath: string): string => `${storePath}.head`;

/**
 * Kept open, and never asked how long it is: a file that was looked at gets a new time with its next byte, which the
 * next commit then has to write, too, for a third of what it takes.
 */
export class HeadWitness {
  private readonly path: string;
  private file: number | null = null;
  /** What it is known not to be longer than. */
  private length = Number.POSITIVE_INFINITY;

  constructor(storePath: string) {
    this.path = fileOf(storePath);
  }

  /** Best effort: a disk that takes it not is dealt with where it takes no batch. */
  write({ stream, seq, hash }: Head): void {
    const text = `${stream} ${seq} ${hash}\n`;
    try {
      // In place: it lies within one sector, and a new file each time would wear the card by a block each second.
      this.file ??= openSync(this.path, constants.O_RDWR | constants.O_CREAT, 0o600);
      writeSync(this.file, text, 0);
      if (this.length > text.length) ftruncateSync(this.file, text.length);
      this.length = text.length;
    } catch {
      // Without a witness the store is as it was before there was one.
      this.close();
    }
  }

  close(): void {
    const { file } = this;
    this.file = null;
    this.length = Number.POSITIVE_INFINITY;
    if (file === null) return;
    try {
      closeSync(file);
    } catch {
      // Nothing of it is owed to anyone.
    }
  }
}

/** What the store must hold at least; null where nothing readable says so. */
export function witnessedHead(storePath: string): Head | null {
  let text: string;
  try {
    text = readFileSync(fileOf(storePath), 'utf8');
  } catch {
    return null;
  }
  const [, stream, seq, hash] = /^([0-9a-f]{32}) ([1-9]\d{0,14}) ([0-9a-f]{64})\n$/.exec(text) ?? [];
  return stream === undefined || hash === undefined ? null : { stream, seq: Number(seq), hash };
}

/** Why a store cannot be the one that was witnessed; null where it can. `hashAt` null: no such batch. */
export function witnessProblem(
  witness: Head | null,
  store: {
    readonly stream: string;
    readonly lastSeq: number;
    readonly hashAt: (seq: number) => string | null;
  },
): string | null {
  if (!witness || witness.stream !== store.stream) return null;
  if (witness.seq > store.lastSeq) {
    return `the store ends at batch ${store.lastSeq}, and batch ${witness.seq} had been committed`;
  }
  if (store.hashAt(witness.seq) === witness.hash) return null;
  return `batch ${witness.seq} is not the one that was committed`;
}
