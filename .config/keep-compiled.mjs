/**
 * Starts each built program once, as far as it comes by itself, and keeps beside it what V8 compiled on the way (.v8).
 * Nothing depends on it but the time to start: a program without it, or with one of another Node, compiles anew.
 */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const THIS = fileURLToPath(import.meta.url);
/** As dashboard/server/broker/fork-broker.ts starts it: what is compiled under other flags does not fit. */
const BROKER_FLAGS = ['--max-old-space-size=192'];
/** A program that has not come so far in this time is ended, ms. */
const LIMIT_MS = 10_000;

if (process.argv[1] === THIS) {
  const [file, ...args] = process.argv.slice(2);
  process.argv = [process.execPath, file, ...args];
  const { compiled } = await import(pathToFileURL(file).href);
  process.on('exit', () => writeFileSync(file.replace(/\.js$/, '.v8'), compiled()));
}

export async function keepCompiled(dist) {
  const scratch = mkdtempSync(join(tmpdir(), 'girthlog-compiled-'));
  try {
    await Promise.all([dashboard(dist, scratch), edge(dist, scratch)]);
    // It waits for its parent to say where to listen; without one it has nothing to do and ends.
    await once(start(BROKER_FLAGS, join(dist, 'broker.js'), []), 'exit');
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
}

/** Until it says that it is ready. */
async function dashboard(dist, scratch) {
  const listen = ['--http', '127.0.0.1:0', '--mqtt', '127.0.0.1:0'];
  const args = ['run', '--data', join(scratch, 'dashboard'), ...listen, '--log-level', 'silent', '--json'];
  const child = start([], join(dist, 'girthlog-dashboard.js'), args);
  await ended(child, once(child.stdout, 'data'));
}

/** Until it has reached for its signal and for its broker. */
async function edge(dist, scratch) {
  const servers = [createServer(), createServer()];
  const reached = servers.map(server => once(server, 'connection').then(([socket]) => socket));
  for (const server of servers) server.listen(0, '127.0.0.1');
  await Promise.all(servers.map(server => once(server, 'listening')));
  const [source, broker] = servers.map(server => server.address().port);
  const config = join(scratch, 'edge.toml');
  const tables = [
    '[rig]\nsite = "build"\nrig = "rig"\norigin = "simulated"\nreference_radius_mm = 300',
    `[source]\nurl = "tcp://127.0.0.1:${source}"\nformat = "binary"`,
    `[broker]\nurl = "mqtt://127.0.0.1:${broker}"`,
    '[store]\npath = "edge.db"\n[log]\nlevel = "silent"',
  ];
  writeFileSync(config, `${tables.join('\n')}\n`);
  const child = start([], join(dist, 'girthlog-edge.js'), ['run', '--config', config]);
  await ended(child, Promise.all(reached));
  for (const socket of reached) socket.then(one => one.destroy());
  for (const server of servers) server.close();
}

const start = (flags, file, args) =>
  spawn(process.execPath, [...flags, THIS, file, ...args], { stdio: ['ignore', 'pipe', 'ignore'] });

async function ended(child, ready) {
  const exit = once(child, 'exit');
  const timer = setTimeout(() => child.kill('SIGKILL'), LIMIT_MS);
  await Promise.race([ready, exit]);
  child.kill('SIGTERM');
  await exit;
  clearTimeout(timer);
}
