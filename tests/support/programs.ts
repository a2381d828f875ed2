import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { onTestFinished } from 'vitest';

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '..', '..');

/** Folder with the built programs; `npm test` builds them first. */
export const DIST = process.env['GIRTHLOG_DIST'] ?? join(ROOT, 'dist');

export interface RunningProgram {
  readonly child: ChildProcess;
  /** Everything said so far. */
  readonly stdout: () => string;
  readonly stderr: () => string;
  /** Resolves with the exit code, or the signal's name. */
  readonly exited: Promise<number | string>;
  /** SIGTERM, then waits for the end. */
  readonly stop: () => Promise<number | string>;
  /** SIGKILL, then waits for the end. */
  readonly kill: () => Promise<number | string>;
}

/** Starts one built program, such as `girthlog-edge`; killed with the running test at the latest. */
export function startProgram(
  name: string,
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
): RunningProgram {
  const script = join(DIST, `${name}.js`);
  if (!existsSync(script)) throw new Error(`${script} is not built: run "npm run build" first`);
  return startCommand(process.execPath, ['--enable-source-maps', script, ...args], env);
}

/** Starts any command and follows what it says; killed with the running test at the latest. */
export function startCommand(
  command: string,
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
): RunningProgram {
  const child = spawn(command, args, { env: { ...process.env, ...env }, stdio: ['ignore', 'pipe', 'pipe'] });
  let stdout = '';
  let stderr = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    stdout += text;
  });
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    stderr += text;
  });
  const exited = new Promise<number | string>((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (code, signal) => resolve(code ?? signal ?? 'gone'));
  });
  const end = (signal: NodeJS.Signals): Promise<number | string> => {
    child.kill(signal);
    return exited;
  };
  onTestFinished(async () => {
    child.kill('SIGKILL');
    await exited.catch(() => undefined);
  });
  return {
    child,
    stdout: () => stdout,
    stderr: () => stderr,
    exited,
    stop: () => end('SIGTERM'),
    kill: () => end('SIGKILL'),
  };
}

/**
 * True when a test that needs `command` must be skipped. Missing, it is skipped with the line that installs
 * it; with CI=true a missing one fails instead.
 */
export function isMissing(command: string, installLine: string): boolean {
  try {
    execFileSync('sh', ['-c', `command -v ${command} || ls /usr/sbin/${command}`], { stdio: 'ignore' });
    return false;
  } catch {
    if (process.env['CI'] === 'true') throw new Error(`${command} is missing: ${installLine}`);
    process.stderr.write(`skipped, ${command} is missing: ${installLine}\n`);
    return true;
  }
}
