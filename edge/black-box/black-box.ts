/**
 * The rolling record of raw bytes beside the store, so that a minute can be decoded again by newer code.
 *
 * Invariants
 * - `take` never waits and never throws: what the disk is too slow for is left out, counted, and marked in the file;
 * - its files together stay within their budget, none older than its age; the oldest go;
 * - a black box that fails stops nothing else: it says so and tries again each minute.
 */
import { existsSync } from 'node:fs';
import { type FileHandle, mkdir, open, readdir, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import {
  type BlackBoxHeader,
  encodeFrame,
  encodeHeader,
  KIND,
  MAX_CONTENT,
  SUFFIX,
} from './black-box-format.ts';

const QUEUE_BYTES = 1024 * 1024;
const FLUSH_MS = 500;
const RETRY_MS = 60_000;
/** One file is at most this share of the budget and this long: the oldest is let go whole. */
const FILE_SHARE = 1 / 16;
const FILE_US = 3_600_000_000;
const HOUR_US = 3_600_000_000;

export type BlackBoxState = 'off' | 'recording' | 'paused' | 'failed';

export interface BlackBoxOptions {
  readonly folder: string;
  readonly budgetBytes: number;
  readonly maxAgeH: number;
  readonly recordNowUs: () => number;
  readonly header: () => Omit<BlackBoxHeader, 'startedUs'>;
  /** False while the disk is wanted for what counts more. */
  readonly mayWrite: () => boolean;
  /** Bytes were left out, or writing has failed; about once a minute at most. */
  readonly onTrouble: (trouble: { readonly leftOut: number; readonly reason: string | null }) => void;
}

export interface BlackBoxStatus {
  readonly state: BlackBoxState;
  readonly bytes: number;
  /** Record time of the oldest that is kept; null when nothing is. */
  readonly fromUs: number | null;
  readonly leftOutBytes: number;
}

export class BlackBox {
  private readonly options: BlackBoxOptions;
  private queue: Buffer[] = [];
  private queueBytes = 0;
  /** Of it what the link delivered. */
  private queueContent = 0;
  private leftOut = 0;
  private unmarked = 0;
  private untold = 0;
  private toldUs: number | null = null;
  private file: FileHandle | null = null;
  private fileBytes = 0;
  private fileUs = 0;
  private kept: { path: string; bytes: number; fromUs: number }[] = [];
  private timer: NodeJS.Timeout | null = null;
  private writing: Promise<void> = Promise.resolve();
  private failedUs: number | null = null;
  private paused = false;

  constructor(options: BlackBoxOptions) {
    this.options = options;
  }

  start(): void {
    this.writing = this.lookAround();
    this.timer = setInterval(() => this.flush(), FLUSH_MS);
  }

  async stop(): Promise<void> {
    if (this.timer) clearInterval(this.timer);
    this.timer = null;
    this.flush();
    await this.writing;
    if (this.file) await this.roll().catch(() => undefined);
  }

  readonly take = (bytes: Uint8Array, arrivalUs: number): void => {
    for (let from = 0; from < bytes.length; from += MAX_CONTENT) {
      this.put(KIND.bytes, arrivalUs, bytes.subarray(from, from + MAX_CONTENT));
    }
  };

  /** What follows belongs to a new opening of the link. */
  readonly opened = (atUs: number): void => this.put(KIND.opened, atUs, new Uint8Array(0));

  status(): BlackBoxStatus {
    const state = this.failedUs !== null ? 'failed' : this.paused ? 'paused' : 'recording';
    return {
      state,
      bytes: this.kept.reduce((sum, { bytes }) => sum + bytes, 0) + this.fileBytes,
      fromUs: this.kept[0]?.fromUs ?? (this.file ? this.fileUs : null),
      leftOutBytes: this.leftOut,
    };
  }

  private put(kind: number, arrivalUs: number, content: Uint8Array): void {
    if (this.queueBytes + content.length > QUEUE_BYTES || this.failedUs !== null || this.paused) {
      this.leftOut += content.length;
      this.unmarked += content.length;
      if (!this.paused) this.untold += content.length;
      return;
    }
    if (this.unmarked > 0) {
      const mark = Buffer.alloc(8);
      mark.writeDoubleLE(this.unmarked);
      this.unmarked = 0;
      this.push(encodeFrame({ kind: KIND.leftOut, arrivalUs, content: mark }));
    }
    this.push(encodeFrame({ kind, arrivalUs, content }));
    this.queueContent += content.length;
  }

  private push(frame: Buffer): void {
    this.queue.push(frame);
    this.queueBytes += frame.length;
  }

  /** One write at a time; the timer comes again. */
  private flush(): void {
    const nowUs = this.options.recordNowUs();
    this.paused = !this.options.mayWrite();
    if (this.failedUs !== null && nowUs - this.failedUs >= RETRY_MS * 1000) this.failedUs = null;
    this.tell(null);
    if (this.queue.length === 0) return;
    const blocks = this.queue;
    const bytes = this.queueBytes;
    const content = this.queueContent;
    this.queue = [];
    this.queueContent = 0;
    this.writing = this.writing
      .then(() => this.write(Buffer.concat(blocks)))
      .catch((error: unknown) => this.fail(error, content))
      .finally(() => {
        this.queueBytes -= bytes;
      });
  }

  private async write(bytes: Buffer): Promise<void> {
    const nowUs = this.options.recordNowUs();
    const { budgetBytes } = this.options;
    const isFull = this.fileBytes > 0 && this.fileBytes + bytes.length > budgetBytes * FILE_SHARE;
    if (this.file && (isFull || nowUs - this.fileUs >= FILE_US)) await this.roll();
    await this.makeRoom(bytes.length, nowUs);
    this.file ??= await this.begin(nowUs);
    await this.file.write(bytes);
    this.fileBytes += bytes.length;
  }

  private async begin(nowUs: number): Promise<FileHandle> {
    const { folder, header } = this.options;
    await mkdir(folder, { recursive: true, mode: 0o700 });
    const file = await open(this.pathOf(nowUs), 'ax', 0o600);
    this.fileUs = nowUs;
    const start = encodeHeader({ ...header(), startedUs: nowUs });
    await file.write(start);
    this.fileBytes = start.length;
    return file;
  }

  private async roll(): Promise<void> {
    const { file } = this;
    this.file = null;
    this.kept.push({ path: this.pathOf(this.fileUs), bytes: this.fileBytes, fromUs: this.fileUs });
    this.fileBytes = 0;
    await file?.close();
  }

  /** The oldest go until what comes fits, and whatever is too old. */
  private async makeRoom(bytes: number, nowUs: number): Promise<void> {
    const { budgetBytes, maxAgeH } = this.options;
    const total = (): number => this.kept.reduce((sum, one) => sum + one.bytes, this.fileBytes + bytes);
    while (this.kept.length > 0) {
      // A file lasts until the next begins, and no longer than one may.
      const nextUs = this.kept[1]?.fromUs ?? (this.file ? this.fileUs : nowUs);
      const untilUs = Math.min(nextUs, this.kept[0]!.fromUs + FILE_US);
      if (total() <= budgetBytes && nowUs - untilUs <= maxAgeH * HOUR_US) return;
      const [oldest] = this.kept.splice(0, 1);
      await rm(oldest!.path, { force: true });
    }
  }

  /** What earlier runs have left. */
  private async lookAround(): Promise<void> {
    const { folder } = this.options;
    try {
      if (!existsSync(folder)) return;
      for (const name of (await readdir(folder)).filter(found => found.endsWith(SUFFIX)).sort()) {
        const path = join(folder, name);
        this.kept.push({ path, bytes: (await stat(path)).size, fromUs: Number.parseInt(name, 10) });
      }
    } catch (error) {
      await this.fail(error, 0);
    }
  }

  private async fail(error: unknown, bytes: number): Promise<void> {
    this.leftOut += bytes;
    this.unmarked += bytes;
    this.untold += bytes;
    this.failedUs = this.options.recordNowUs();
    const { file } = this;
    // What was written of it stays: it can be read to the last whole frame.
    if (file) await this.roll().catch(() => undefined);
    this.tell(error instanceof Error ? error.message : String(error));
  }

  private tell(reason: string | null): void {
    if (reason === null && this.untold === 0) return;
    const nowUs = this.options.recordNowUs();
    if (this.toldUs !== null && nowUs - this.toldUs < RETRY_MS * 1000) return;
    this.toldUs = nowUs;
    const leftOut = this.untold;
    this.untold = 0;
    this.options.onTrouble({ leftOut, reason });
  }

  /** Sorted by name they are sorted by time. */
  private pathOf(startedUs: number): string {
    return join(this.options.folder, `${String(startedUs).padStart(17, '0')}${SUFFIX}`);
  }
}
