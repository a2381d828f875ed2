/**
 * Exports that take a while: one at a time, with how far it has come, cancelled when asked. A finished file is kept
 * some hours, and all of them together take no more room than is set. After a restart there is none: what was being
 * made is thrown away, since the same can be asked for again.
 */
import { once } from 'node:events';
import { createWriteStream, mkdirSync, readdirSync, rmSync, statfsSync } from 'node:fs';
import { rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import type { ExportJob } from '#core/messages/api-export';
import type { ReportEvent } from '../internal-events.ts';
import type { ExportRequest } from './export-archive.ts';
import type { RunExport } from './export-runner.ts';
import { ArchiveError } from './zip-stream.ts';

export interface ExportDeskOptions {
  /** Its own: whatever lies there at the start is thrown away. */
  readonly directory: string;
  readonly run: RunExport;
  readonly keepH: number;
  /** Of all kept files together. */
  readonly mostBytes: number;
  /** Left free on the disk whatever happens: records come first. */
  readonly leaveBytes: number;
  readonly report: ReportEvent;
  readonly now: () => Date;
  readonly newId: () => string;
}

type Job = { -readonly [K in keyof ExportJob]: ExportJob[K] };

interface Running {
  readonly job: Job;
  readonly abort: AbortController;
  readonly ended: Promise<void>;
}

/** Jobs that are still told of, newest first. */
const TOLD = 20;
const LOOK_MS = 60_000;
/** Looked for room after so many bytes. */
const ROOM_EVERY_BYTES = 8_388_608;

export class ExportDesk {
  private readonly options: ExportDeskOptions;
  private jobs: Job[] = [];
  private running: Running | null = null;
  private timer: NodeJS.Timeout | null = null;

  constructor(options: ExportDeskOptions) {
    this.options = options;
  }

  start(): void {
    this.dropUntold();
    this.timer ??= setInterval(() => this.letGo(), LOOK_MS);
    this.timer.unref();
  }

  async stop(): Promise<void> {
    if (this.timer) clearInterval(this.timer);
    this.timer = null;
    this.running?.abort.abort();
    await this.running?.ended;
  }

  list(): ExportJob[] {
    this.letGo();
    return this.jobs.map(job => ({ ...job }));
  }

  job(id: string): ExportJob | null {
    return this.list().find(job => job.id === id) ?? null;
  }

  /** The one that is being made. */
  get current(): ExportJob | null {
    return this.running && { ...this.running.job };
  }

  /** Null while another is being made. */
  begin(request: ExportRequest, file: string): ExportJob | null {
    if (this.running) return null;
    const { now, newId } = this.options;
    const job: Job = {
      id: newId(),
      state: 'running',
      date: request.date,
      zone: request.zone,
      origin: request.origin,
      startedAt: now().toISOString(),
      endedAt: null,
      done: 0,
      total: request.joints.length,
      bytes: 0,
      file,
      problem: null,
      keptUntil: null,
    };
    this.jobs = [job, ...this.jobs].slice(0, TOLD);
    const abort = new AbortController();
    this.running = { job, abort, ended: this.make(job, request, abort.signal) };
    return { ...job };
  }

  /** Ends one that is being made; false where it is not. */
  async cancel(id: string): Promise<boolean> {
    const { running } = this;
    if (running?.job.id !== id) return false;
    running.abort.abort();
    await running.ended;
    return true;
  }

  /** Where its file lies; null where there is none, or none any more. */
  fileOf(id: string): string | null {
    return this.job(id)?.state === 'done' ? this.pathOf(id) : null;
  }

  private pathOf(id: string): string {
    return join(this.options.directory, `${id}.zip`);
  }

  private async make(job: Job, request: ExportRequest, signal: AbortSignal): Promise<void> {
    const { directory, run, now, keepH, report } = this.options;
    const part = join(directory, `${job.id}.part`);
    try {
      mkdirSync(directory, { recursive: true, mode: 0o700 });
      const onProgress = (done: number, total: number): void => {
        Object.assign(job, { done, total });
      };
      const pieces = this.counted(job, run(request, onProgress, signal));
      const out = createWriteStream(part, { mode: 0o600 });
      // A file that is still being opened when all fails would appear after it was removed.
      await once(out, 'open');
      await pipeline(Readable.from(pieces), out, { signal });
      await rename(part, this.pathOf(job.id));
      job.state = 'done';
      job.keptUntil = new Date(now().getTime() + keepH * 3_600_000).toISOString();
      report('exportMade', { id: job.id, joints: job.total, bytes: job.bytes });
    } catch (error) {
      await rm(part, { force: true });
      job.state = signal.aborted ? 'cancelled' : 'failed';
      job.problem = signal.aborted ? null : sentenceOf(error);
      if (!signal.aborted) report('exportFailed', { id: job.id, reason: job.problem });
    } finally {
      job.endedAt = now().toISOString();
      this.running = null;
    }
  }

  private async *counted(job: Job, pieces: AsyncIterable<Uint8Array>): AsyncGenerator<Uint8Array> {
    const { mostBytes } = this.options;
    let lookedAt = Number.NEGATIVE_INFINITY;
    for await (const piece of pieces) {
      job.bytes += piece.length;
      if (job.bytes > mostBytes) {
        throw new ArchiveError(
          `It is larger than exports may be here (${megabytes(mostBytes)}): choose fewer joints, or set export_max_mb.`,
        );
      }
      if (job.bytes - lookedAt >= ROOM_EVERY_BYTES) {
        lookedAt = job.bytes;
        this.makeRoom(job);
      }
      yield piece;
    }
    this.makeRoom(job);
  }

  /** Older files go first; the disk keeps what records need. */
  private makeRoom(job: Job): void {
    const { mostBytes, leaveBytes, directory } = this.options;
    for (const old of this.jobs.filter(({ state }) => state === 'done').reverse()) {
      const all = this.jobs.reduce(
        (sum, { state, bytes }) => sum + (state === 'done' ? bytes : 0),
        job.bytes,
      );
      if (all <= mostBytes) break;
      this.drop(old);
    }
    const { bavail, bsize } = statfsSync(directory);
    if (bavail * bsize < leaveBytes) {
      throw new ArchiveError(
        `The disk has less than ${megabytes(leaveBytes)} left, which records need: free space, then ask again.`,
      );
    }
  }

  /** What was kept long enough. */
  private letGo(): void {
    const at = this.options.now().toISOString();
    for (const job of this.jobs) {
      if (job.state === 'done' && job.keptUntil !== null && job.keptUntil <= at) this.drop(job);
    }
    this.dropUntold();
  }

  private drop(job: Job): void {
    rmSync(this.pathOf(job.id), { force: true });
    this.jobs = this.jobs.filter(one => one !== job);
  }

  /** Files of jobs that are not told of: of an earlier run, or too many since. */
  private dropUntold(): void {
    const told = new Set(this.jobs.flatMap(({ id }) => [`${id}.zip`, `${id}.part`]));
    const { directory } = this.options;
    try {
      for (const name of readdirSync(directory)) {
        if (/\.(zip|part)$/.test(name) && !told.has(name)) rmSync(join(directory, name), { force: true });
      }
    } catch {
      // Nothing was exported yet.
    }
  }
}

const megabytes = (bytes: number): string => `${Math.round(bytes / 1_000_000)} MB`;

function sentenceOf(error: unknown): string {
  if (error instanceof ArchiveError) return error.message;
  const { code } = error as { code?: string };
  if (code === 'ENOSPC') return 'The disk is full: free space, then ask again.';
  return `It could not be made (${code ?? (error as Error).message}).`.slice(0, 300);
}
