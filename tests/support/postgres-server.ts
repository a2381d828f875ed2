/** A real PostgreSQL of one's own, for tests and benchmarks. */
import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import {
  chownSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { freePort } from './free-port.ts';
import { waitUntil } from './wait-until.ts';

/** Debian keeps the programs of each version apart from the path. */
const DEBIAN = '/usr/lib/postgresql';

export interface PostgresServer {
  readonly port: number;
  /** An empty database of its own; gone with the server. */
  database(): Promise<string>;
  /** SIGKILL to the server and all its parts, as a power cut would. */
  kill(): Promise<void>;
  start(): Promise<void>;
  /** Process of the server, whose children serve the connections. */
  pid(): number;
  /** Ends it and removes its data. */
  end(): Promise<void>;
}

/** On a free port, with its data in a folder of its own. It flushes to the disk, as one must whose word moves a cursor. */
export async function startPostgresServer(): Promise<PostgresServer> {
  const port = await freePort();
  const data = mkdtempSync(join(tmpdir(), 'girthlog-postgres-'));
  const user = serverUser();
  if (user) chownSync(data, user.uid, user.gid);
  // It refuses to run as root.
  const as = user === null ? [] : ['setpriv', `--reuid=${user.uid}`, `--regid=${user.gid}`, '--clear-groups'];
  const command = (name: string, ...args: string[]): [string, ...string[]] =>
    [...as, join(binaries(), name), ...args] as [string, ...string[]];
  const [initProgram, ...initArgs] = command(
    'initdb',
    ...['-D', data, '-U', 'girthlog', '--auth=trust', '--encoding=UTF8', '--locale=C', '--no-sync'],
  );
  execFileSync(initProgram, initArgs, { stdio: ['ignore', 'ignore', 'pipe'], cwd: data });
  writeFileSync(
    join(data, 'postgresql.auto.conf'),
    [
      `listen_addresses = '127.0.0.1'`,
      `port = ${port}`,
      `unix_socket_directories = ''`,
      'shared_buffers = 32MB',
      'max_connections = 60',
      'recovery_init_sync_method = syncfs',
      '',
    ].join('\n'),
  );
  let child: ChildProcess | null = null;
  const kill = async (): Promise<void> => {
    const dying = child;
    child = null;
    if (!dying || dying.exitCode !== null) return;
    const gone = new Promise(resolve => dying.once('exit', resolve));
    // Its parts would live on for a moment, and go on answering.
    const parts = readFileSync(`/proc/${dying.pid}/task/${dying.pid}/children`, 'utf8').trim().split(' ');
    dying.kill('SIGKILL');
    for (const part of parts) {
      try {
        process.kill(Number(part), 'SIGKILL');
      } catch {
        // Gone by itself.
      }
    }
    await gone;
  };
  const connected = async (database = 'postgres'): Promise<pg.Client> => {
    const client = new pg.Client({ host: '127.0.0.1', port, user: 'girthlog', database });
    client.on('error', () => undefined);
    await client.connect();
    return client;
  };
  const start = async (): Promise<void> => {
    const [program, ...args] = command('postgres', '-D', data);
    child = spawn(program, args, { stdio: 'ignore', cwd: data });
    const answers = (): Promise<boolean> =>
      connected().then(
        client => client.end().then(() => true),
        () => false,
      );
    await waitUntil(answers, 'PostgreSQL to answer', 30_000);
  };
  let databases = 0;
  const database = async (): Promise<string> => {
    const name = `girthlog_${++databases}`;
    const client = await connected();
    await client.query(`CREATE DATABASE ${name}`);
    await client.end();
    return `postgres://girthlog@127.0.0.1:${port}/${name}`;
  };
  const end = async (): Promise<void> => {
    await kill();
    rmSync(data, { recursive: true, force: true });
  };
  try {
    await start();
  } catch (error) {
    await end();
    throw error;
  }
  return { port, database, kill, start, end, pid: () => child?.pid ?? 0 };
}

/** Folder of the newest version's programs; empty where they are looked for in the path. */
export function binaries(): string {
  if (!existsSync(DEBIAN)) return '';
  const [newest] = readdirSync(DEBIAN).sort((a, b) => Number(b) - Number(a));
  return newest === undefined ? '' : join(DEBIAN, newest, 'bin');
}

/** Whoever runs it where we are root; null where we are not. */
function serverUser(): { uid: number; gid: number } | null {
  if (process.getuid?.() !== 0) return null;
  for (const name of ['postgres', 'nobody']) {
    try {
      const [uid, gid] = ['-u', '-g'].map(flag => Number(execFileSync('id', [flag, name]).toString()));
      return { uid: uid!, gid: gid! };
    } catch {
      // Not on this machine: the next.
    }
  }
  throw new Error('PostgreSQL needs a user that is not root, and there is neither "postgres" nor "nobody"');
}
