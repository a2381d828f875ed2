import { join } from 'node:path';
import pg from 'pg';
import { onTestFinished } from 'vitest';
import { binaries, type PostgresServer, startPostgresServer } from './postgres-server.ts';
import { isMissing } from './programs.ts';

export type { PostgresServer } from './postgres-server.ts';

/** For `describe.skipIf`: a real PostgreSQL is not installed. */
export const postgresMissing = isMissing(join(binaries(), 'postgres'), 'apt-get install postgresql');

/** It ends with the running test, or when the task given to `atEnd` is called. */
export async function startPostgres(
  atEnd: (stop: () => Promise<void>) => void = onTestFinished,
): Promise<PostgresServer> {
  const server = await startPostgresServer();
  atEnd(() => server.end());
  return server;
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
  client.on('error', () => undefined);
  await client.connect();
  try {
    return (await client.query(sql, [...values])).rows as T[];
  } finally {
    await client.end();
  }
}
