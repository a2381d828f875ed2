/** Child processes of a benchmark run: each is ended by whoever started it. */
import { type ChildProcess, fork, spawn } from 'node:child_process';
import { join } from 'node:path';
import { PROGRAM_ENV } from '../../support/program-token.ts';
import { waitUntil } from '../../support/wait-until.ts';
import type { BenchContext } from './figure.ts';

export interface Program {
  readonly child: ChildProcess;
  readonly stdout: () => string;
  readonly stderr: () => string;
  readonly stop: () => Promise<void>;
}

export function startNode(args: readonly string[], env: Readonly<Record<string, string>> = {}): Program {
  const child = spawn(process.execPath, [...args], {
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, ...env },
  });
  let stdout = '';
  let stderr = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    stdout += text;
  });
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    // The newest is enough to say what went wrong.
    stderr = (stderr + text).slice(-2000);
  });
  return { child, stdout: () => stdout, stderr: () => stderr, stop: () => stopChild(child) };
}

export async function stopChild(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const ended = new Promise<void>(resolve => child.once('exit', () => resolve()));
  child.kill('SIGTERM');
  const timer = setTimeout(() => child.kill('SIGKILL'), 5000);
  await ended;
  clearTimeout(timer);
}

/** The dashboard on free ports; resolves when it says it is ready. */
export async function startDashboard(
  { dist }: BenchContext,
  data: string,
): Promise<Program & { http: string; mqtt: string }> {
  const program = startNode(
    [
      join(dist, 'girthlog-dashboard.js'),
      ...['run', '--data', data, '--http', '127.0.0.1:0', '--mqtt', '127.0.0.1:0', '--json'],
      ...['--log-level', 'error', '--open-reading', 'machine'],
    ],
    PROGRAM_ENV,
  );
  const line: string = await waitUntil(
    () => (program.stdout().includes('\n') ? program.stdout() : ''),
    () => `the dashboard to be ready; it says: ${program.stderr()}`,
  );
  return { ...program, ...(JSON.parse(line) as { http: string; mqtt: string }) };
}

/** The embedded broker as the dashboard starts it: a child told where to listen. */
export async function startBroker({
  dist,
}: BenchContext): Promise<{ pid: number; port: number; stop: () => Promise<void> }> {
  const child = fork(join(dist, 'broker.js'), [], { stdio: ['ignore', 'ignore', 'inherit', 'ipc'] });
  const port = await new Promise<number>((resolve, reject) => {
    child.on('message', (message: { kind: string; port?: number }) => {
      if (message.kind === 'listening') resolve(message.port!);
      else reject(new Error(`the broker says: ${JSON.stringify(message)}`));
    });
    child.once('exit', () => reject(new Error('the broker ended')));
    child.send({
      ...{ kind: 'start', host: '127.0.0.1', port: 0, tries: 0, maxConnections: 64, maxRigs: 64 },
      ...{ access: { isOpen: true, credentials: [] }, tls: null, innerPort: 0 },
    });
  });
  return { pid: child.pid!, port, stop: () => stopChild(child) };
}
