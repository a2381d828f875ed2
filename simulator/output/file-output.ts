import { type FileHandle, open } from 'node:fs/promises';
import { type ByteOutput, OutputError } from './byte-output.ts';

const FLUSH_BYTES = 256 * 1024;

/** A recording of the byte stream. Nothing is lost: `settle` lets the writer wait for the disk. */
export class FileOutput implements ByteOutput {
  readonly url: string;
  readonly lostBytes = 0;
  private readonly path: string;
  private file: FileHandle | null = null;
  private waiting: Uint8Array[] = [];
  private waitingBytes = 0;

  constructor(path: string) {
    this.path = path;
    this.url = `file://${path}`;
  }

  async start(): Promise<void> {
    try {
      this.file = await open(this.path, 'w');
    } catch (error) {
      throw new OutputError(`cannot write ${this.path}: ${(error as Error).message}`);
    }
  }

  write(bytes: Uint8Array): void {
    this.waiting.push(bytes);
    this.waitingBytes += bytes.length;
  }

  /** Writes what is waiting once there is enough of it, or all of it. */
  async settle(all = false): Promise<void> {
    if (this.waitingBytes === 0 || (!all && this.waitingBytes < FLUSH_BYTES)) return;
    const bytes = Buffer.concat(this.waiting);
    this.waiting = [];
    this.waitingBytes = 0;
    try {
      await this.file?.write(bytes);
    } catch (error) {
      throw new OutputError(`cannot write ${this.path}: ${(error as Error).message}`);
    }
  }

  async stop(): Promise<void> {
    const { file } = this;
    if (!file) return;
    await this.settle(true);
    this.file = null;
    await file.close();
  }
}
