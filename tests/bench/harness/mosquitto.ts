/** Mosquitto on a free port of this machine, where it is installed. */
import { spawn } from 'node:child_process';
import { existsSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { join } from 'node:path';
import { freePort } from '../../support/free-port.ts';
import { waitUntil } from '../../support/wait-until.ts';
import { stopChild } from './programs.ts';

const PROGRAM = ['/usr/sbin/mosquitto', '/usr/bin/mosquitto', '/usr/local/sbin/mosquitto'].find(existsSync);

export const hasMosquitto = (): boolean => PROGRAM !== undefined;

export async function startMosquitto(folder: string): Promise<{ url: string; stop: () => Promise<void> }> {
  if (PROGRAM === undefined) throw new Error('Mosquitto is not installed');
  const port = await freePort();
  const file = join(folder, 'mosquitto.conf');
  const lines = [`listener ${port} 127.0.0.1`, 'allow_anonymous true', 'persistence false'];
  // Started by root it would change to a user who cannot read this folder.
  if (process.getuid?.() === 0) lines.push('user root');
  writeFileSync(file, `${lines.join('\n')}\n`);
  const child = spawn(PROGRAM, ['-c', file], { stdio: 'ignore' });
  await waitUntil(() => accepts(port), 'mosquitto to listen');
  return { url: `mqtt://127.0.0.1:${port}`, stop: () => stopChild(child) };
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
