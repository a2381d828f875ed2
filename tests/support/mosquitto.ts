import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { freePort } from './free-port.ts';
import { isMissing } from './programs.ts';
import { tempDir } from './temp-dir.ts';
import { waitUntil } from './wait-until.ts';

export { freePort } from './free-port.ts';

/** For `describe.skipIf`: a real broker is not installed. */
export const mosquittoMissing = isMissing('mosquitto', 'apt-get install mosquitto');

export interface Mosquitto {
  readonly url: string;
  readonly port: number;
  /** SIGKILL, as a power cut would. Nothing is kept: the broker has no memory on disk. */
  kill(): Promise<void>;
  /** SIGSTOP: connections stay, nothing is answered. */
  pause(): void;
  /** SIGCONT after pause(). */
  resume(): void;
  /** Starts it again on the same port, with other settings if given. */
  start(settings?: readonly string[]): Promise<void>;
  /** SIGHUP: reads its files of rights and passwords again. */
  reload(): void;
}

/** A real Mosquitto on a free port; ends with the running test. `settings` are lines of its own file. */
export async function startMosquitto(settings: readonly string[] = []): Promise<Mosquitto> {
  const dir = tempDir();
  const port = await freePort();
  const file = join(dir, 'mosquitto.conf');
  const write = (lines: readonly string[]): void => {
    const usual = [`listener ${port} 127.0.0.1`, 'allow_anonymous true', 'persistence false'];
    // Started by root it would change to a user who cannot read this folder.
    if (process.getuid?.() === 0) usual.push('user root');
    writeFileSync(file, [...usual, ...lines, ''].join('\n'));
  };
  write(settings);
  const program = existsSync('/usr/sbin/mosquitto') ? '/usr/sbin/mosquitto' : 'mosquitto';
  let child: ChildProcess | null = null;
  const kill = async (): Promise<void> => {
    const dying = child;
    child = null;
    if (!dying || dying.exitCode !== null) return;
    const gone = new Promise(resolve => dying.once('exit', resolve));
    dying.kill('SIGKILL');
    await gone;
  };
  const start = async (changed?: readonly string[]): Promise<void> => {
    if (changed) write(changed);
    child = spawn(program, ['-c', file], { stdio: 'ignore' });
    await waitUntil(() => accepts(port), 'mosquitto to listen');
  };
  onTestFinished(kill);
  await start();
  const pause = (): void => {
    child?.kill('SIGSTOP');
  };
  const resume = (): void => {
    child?.kill('SIGCONT');
  };
  const reload = (): void => {
    child?.kill('SIGHUP');
  };
  return { url: `mqtt://127.0.0.1:${port}`, port, kill, pause, resume, start, reload };
}

function accepts(port: number): Promise<boolean> {
  return new Promise(resolve => {
    const socket = connect(port, '127.0.0.1');
    socket.once('connect', () => {
      socket.destroy();
      resolve(true);
    });
    socket.once('error', () => resolve(false));
  });
}
