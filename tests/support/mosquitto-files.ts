import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { waitUntil } from './wait-until.ts';

/**
 * A Mosquitto with the files that were written for it into `directory`, as they are, but for the user it would change to
 * when root starts it; ends with the running test. Rejects with what it says where it does not run.
 */
export async function startMosquittoFiles(directory: string): Promise<{ restart: () => Promise<void> }> {
  const program = existsSync('/usr/sbin/mosquitto') ? '/usr/sbin/mosquitto' : 'mosquitto';
  let child: ChildProcess | null = null;
  const start = async (): Promise<void> => {
    const written = readFileSync(join(directory, 'mosquitto.conf'), 'utf8');
    const own = join(directory, 'started.conf');
    writeFileSync(own, process.getuid?.() === 0 ? `user root\n${written}` : written);
    const started = spawn(program, ['-c', own], { stdio: ['ignore', 'ignore', 'pipe'] });
    child = started;
    let said = '';
    started.stderr.on('data', (text: Buffer) => {
      said += text.toString();
    });
    await waitUntil(
      () => / running$/m.test(said) || started.exitCode !== null,
      () => `mosquitto to run: ${said}`,
    );
    if (/Error/.test(said)) throw new Error(said);
  };
  const end = async (): Promise<void> => {
    const dying = child;
    child = null;
    if (!dying || dying.exitCode !== null) return;
    const gone = new Promise(resolve => dying.once('exit', resolve));
    dying.kill('SIGKILL');
    await gone;
  };
  onTestFinished(end);
  await start();
  return {
    restart: async () => {
      await end();
      await start();
    },
  };
}
