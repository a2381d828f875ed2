/** The desk of exports with an invented maker: one at a time, kept some hours, bounded room, cancelled when asked. */
import { existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { ExportRequest } from '../../../dashboard/server/export/export-archive.ts';
import { ExportDesk, type ExportDeskOptions } from '../../../dashboard/server/export/export-desk.ts';
import type { RunExport } from '../../../dashboard/server/export/export-runner.ts';
import { ArchiveError } from '../../../dashboard/server/export/zip-stream.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { waitUntil } from '../../support/wait-until.ts';

const HOUR = 3_600_000;
const REQUEST: ExportRequest = {
  joints: ['J-1'],
  origin: 'simulated',
  date: null,
  zone: 'UTC',
  papers: ['a4'],
  manner: { language: 'en', units: 'metric', decimal: 'point' },
};

function desk(run: RunExport, options: Partial<ExportDeskOptions> = {}) {
  let nowMs = Date.UTC(2026, 4, 12, 8);
  let ids = 0;
  const directory = join(tempDir(), 'exports');
  const { report, counts } = recordedEvents();
  const made = new ExportDesk({
    directory,
    run,
    keepH: 2,
    mostBytes: 1000,
    leaveBytes: 0,
    report,
    now: () => new Date(nowMs),
    newId: () => `id-${++ids}`,
    ...options,
  });
  made.start();
  onTestFinished(() => made.stop());
  const ended = async (id: string) =>
    await waitUntil(
      () => (made.job(id)?.state === 'running' ? null : (made.job(id) ?? 'gone')),
      () => 'the export to end',
    );
  const make = async () => await ended(made.begin(REQUEST, 'x.zip')!.id);
  return { desk: made, directory, counts, ended, make, pass: (hours: number) => (nowMs += hours * HOUR) };
}

const ofBytes = (size: number): RunExport =>
  async function* (_request, onProgress) {
    onProgress(0, 1);
    yield new Uint8Array(size);
    onProgress(1, 1);
  };

/** Goes on until it is ended from outside. */
const waiting: RunExport = async function* (_request, _onProgress, signal) {
  yield new Uint8Array(1);
  await new Promise<void>((_resolve, reject) => {
    signal.addEventListener('abort', () => reject(new Error('ended')));
  });
};

describe('the desk of exports', () => {
  it('keeps a finished file for the hours that are set, and then lets it go', async () => {
    const { desk: exports, directory, make, pass } = desk(ofBytes(100));
    const job = await make();
    expect(job).toMatchObject({
      state: 'done',
      done: 1,
      total: 1,
      bytes: 100,
      keptUntil: '2026-05-12T10:00:00.000Z',
    });
    expect(existsSync(exports.fileOf('id-1')!)).toBe(true);
    pass(1.9);
    expect(exports.list()).toHaveLength(1);
    pass(0.2);
    expect(exports.list()).toEqual([]);
    expect(exports.fileOf('id-1')).toBeNull();
    expect(readdirSync(directory)).toEqual([]);
  });

  it('takes no more room than is set: the oldest file goes', async () => {
    const { desk: exports, directory, make } = desk(ofBytes(400));
    for (let i = 0; i < 4; i++) await make();
    expect(exports.list().map(({ id }) => id)).toEqual(['id-4', 'id-3']);
    expect(readdirSync(directory).sort()).toEqual(['id-3.zip', 'id-4.zip']);
  });

  it('refuses what is larger than all may be, and leaves nothing of it', async () => {
    const { directory, make, counts } = desk(ofBytes(1001));
    expect(await make()).toMatchObject({
      state: 'failed',
      problem: expect.stringMatching(/^It is larger than exports may be here/),
      keptUntil: null,
    });
    expect(readdirSync(directory)).toEqual([]);
    expect(counts['exportFailed']).toBe(1);
  });

  it('leaves the disk what records need', async () => {
    const { make } = desk(ofBytes(10), { leaveBytes: Number.MAX_SAFE_INTEGER });
    expect(await make()).toMatchObject({
      state: 'failed',
      problem: expect.stringMatching(/^The disk has less than/),
    });
  });

  it('makes one at a time, ends it when asked, and then makes the next', async () => {
    const { desk: exports, directory, ended } = desk(waiting);
    const { id } = exports.begin(REQUEST, 'x.zip')!;
    expect(exports.begin(REQUEST, 'x.zip')).toBeNull();
    expect(exports.current?.id).toBe(id);
    expect(await exports.cancel('another')).toBe(false);
    expect(await exports.cancel(id)).toBe(true);
    expect(await ended(id)).toMatchObject({ state: 'cancelled', problem: null });
    expect(await exports.cancel(id)).toBe(false);
    expect(readdirSync(directory)).toEqual([]);
    expect(exports.begin(REQUEST, 'x.zip')?.state).toBe('running');
  });

  it('says why one could not be made, in one sentence', async () => {
    const broken = desk(async function* () {
      yield new Uint8Array(1);
      throw new ArchiveError('The store cannot be read.');
    });
    expect(await broken.make()).toMatchObject({ state: 'failed', problem: 'The store cannot be read.' });
    const full = desk(async function* () {
      yield new Uint8Array(1);
      throw Object.assign(new Error('no space'), { code: 'ENOSPC' });
    });
    expect(await full.make()).toMatchObject({ problem: 'The disk is full: free space, then ask again.' });
  });

  it('throws away at the start what an earlier run left', () => {
    const directory = join(tempDir(), 'exports');
    mkdirSync(directory);
    writeFileSync(join(directory, 'old.zip'), 'x');
    const { desk: exports } = desk(ofBytes(1), { directory });
    expect(exports.list()).toEqual([]);
    expect(existsSync(join(directory, 'old.zip'))).toBe(false);
  });

  it('stops with what it is making', async () => {
    const { desk: exports, directory } = desk(waiting);
    exports.begin(REQUEST, 'x.zip');
    await exports.stop();
    expect(exports.current).toBeNull();
    expect(readdirSync(directory)).toEqual([]);
  });
});
