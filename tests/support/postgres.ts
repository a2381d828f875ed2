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
import { onTestFinished } from 'vitest';
import { freePort } from './free-port.ts';
import { isMissing } from './programs.ts';
import { waitUntil } from './wait-until.ts';

/** Debian keeps the programs of each version apart from the path. */
const DEBIAN = '/usr/lib/postgresql';

/** For `describe.skipIf`: a real PostgreSQL is not installed. */
export const postgresMissing = isMissing(join(binaries(), 'postgres'), 'apt-get install postgresql');

export interface PostgresServer {
  readonly port: number;
  /** An empty database of its own; gone with the server. */
  database(): Promise<string>;
  /** SIGKILL to the server and all its parts, as a power cut would. */
  kill(): Promise<void>;
  start(): Promise<void>;
}

/**
 * A real PostgreSQL on a free port with its data in a folder of its own. It ends with the running test, or when the
 * task given to `atEnd` is called. It flushes to the disk, as one must whose word moves an edge's cursor.
 */
export async function startPostgres(
  atEnd: (stop: () => Promise<void>) => void = onTestFinished,
): Promise<PostgresServer> {
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
  atEnd(async () => {
    await kill();
    rmSync(data, { recursive: true, force: true });
  });
  await start();
  return { port, database, kill, start };
}

/** A connection that is kept and made anew when it ends, for whoever asks often; ends with the running test. */
export function keptConnection(url: string): (sql: string) => Promise<unknown[]> {
  const pool = new pg.Pool({ connectionString: url, max: 1 });
  pool.on('error', () => undefined);
  onTestFinished(() => pool.end());
  return async sql => (await pool.query(sql)).rows;
}

/** Rows of a query by a client that is not ours. */
export async function queryPostgres<T>(
  url: string,
  sql: string,
  values: readonly unknown[] = [],
): Promise<T[]> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    return (await client.query(sql, [...values])).rows as T[];
  } finally {
    await client.end();
  }
}

function binaries(): string {
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
