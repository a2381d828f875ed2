/**
 * Archives made by a process of their own: what is read, computed and packed holds up no message and no screen. The
 * request goes in as JSON, the archive comes out on stdout, how far it has come on stderr, one JSON line each.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { setPriority } from 'node:os';
import { createInterface } from 'node:readline';
import { EXIT } from '#core/program/program-error';
import { environmentWith } from '../load-config.ts';
import type { Settings } from '../settings.ts';
import type { ExportRequest, OnProgress } from './export-archive.ts';
import { ArchiveError } from './zip-stream.ts';

/** Ends when the archive is whole, throws when it cannot be. `signal` ends it early. */
export type RunExport = (
  request: ExportRequest,
  onProgress: OnProgress,
  signal: AbortSignal,
) => AsyncIterable<Uint8Array>;

/** Politer than the dashboard, 0 to 19. */
const NICE = 10;

/** `program`: the built girthlog-dashboard; of the settings it is told the directory of the store, the zone and where samples are. */
export function exportProcess(
  program: string,
  { data, timeZone: zone, influx, samples }: Pick<Settings, 'data' | 'timeZone' | 'influx' | 'samples'>,
): RunExport {
  return async function* run(request, onProgress, signal) {
    const child = spawn(
      process.execPath,
      [program, 'export', '--request', '--data', data, '--time-zone', zone],
      {
        stdio: ['pipe', 'pipe', 'pipe'],
        // The address may hold a password: it is on no command line.
        env: environmentWith(influx === null ? {} : { influx, samples }),
        signal,
        killSignal: 'SIGTERM',
      },
    );
    const ended = new Promise<number | string>(resolve => {
      child.once('error', error => resolve(error.message));
      child.once('close', (code, by) => resolve(code ?? by ?? 'unknown'));
    });
    child.once('spawn', () => politely(child));
    // It may have ended already: that is told by how it ended.
    child.stdin.on('error', () => undefined);
    child.stdin.end(JSON.stringify(request));
    let said = '';
    const lines = createInterface({ input: child.stderr });
    lines.on('line', line => {
      const progress = progressIn(line);
      if (progress) onProgress(progress.done, progress.total);
      else said = line;
    });
    try {
      yield* child.stdout as AsyncIterable<Buffer>;
      const code = await ended;
      if (code === EXIT.ok) return;
      const sentence = said.replace(/^girthlog-dashboard: /, '').slice(0, 300);
      throw new ArchiveError(sentence === '' ? `The export ended with ${code}.` : sentence);
    } finally {
      // Nobody reads on: a client that left, or a job that was cancelled.
      if (child.exitCode === null) child.kill('SIGTERM');
    }
  };
}

function politely(child: ChildProcess): void {
  try {
    if (child.pid !== undefined) setPriority(child.pid, NICE);
  } catch {
    // It is only a politeness.
  }
}

function progressIn(line: string): { done: number; total: number } | null {
  if (!line.startsWith('{')) return null;
  try {
    const { done, total } = JSON.parse(line) as { done?: unknown; total?: unknown };
    return typeof done === 'number' && typeof total === 'number' ? { done, total } : null;
  } catch {
    return null;
  }
}
