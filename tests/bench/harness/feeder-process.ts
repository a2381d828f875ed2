import { fork } from 'node:child_process';
import { join } from 'node:path';
import type { FeederOrder } from '../roles/feeder.ts';
import type { BenchContext } from './figure.ts';
import { stopChild } from './programs.ts';

/** Starts a device that sends; resolves with the path or URL to read it at. */
export async function startFeeder(
  { dist }: BenchContext,
  order: FeederOrder,
): Promise<{ at: string; stop: () => Promise<void> }> {
  const child = fork(join(dist, 'bench.js'), ['feed'], { stdio: ['ignore', 'ignore', 'inherit', 'ipc'] });
  const at = await new Promise<string>((resolve, reject) => {
    child.once('message', (message: { ready: string }) => resolve(message.ready));
    child.once('exit', () => reject(new Error('the feeder ended')));
    child.send(order);
  });
  return { at, stop: () => stopChild(child) };
}
