import { beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import type { RigEvent } from '#core/messages/event';
import type { Deviation, PassMessage } from '#core/messages/pass';
import { ProgramError } from '#core/program/program-error';
import { PostgresClient } from '../../../dashboard/server/fleet/postgres-client.ts';
import { postgresErrorKind } from '../../../dashboard/server/fleet/postgres-errors.ts';
import { PostgresRecordStore } from '../../../dashboard/server/fleet/postgres-record-store.ts';
import {
  type PostgresServer,
  postgresMissing,
  queryPostgres,
  startPostgres,
} from '../../support/postgres.ts';
import { STREAM, testEvent } from '../../support/test-records.ts';
import { AT, chain, RIG } from '../store/store-support.ts';
import { describeRecordStore } from './record-store-contract.ts';

let server: PostgresServer;

async function openAt(url: string): Promise<PostgresRecordStore> {
  const client = new PostgresClient(url);
  await client.open();
  onTestFinished(() => client.close());
  const store = new PostgresRecordStore(client);
  await store.prepare();
  return store;
}

describe.skipIf(postgresMissing)('PostgreSQL', () => {
  beforeAll(async () => {
    let stop = async (): Promise<void> => {};
    server = await startPostgres(end => {
      stop = end;
    });
    return () => stop();
  });

  describeRecordStore('PostgreSQL', async () => {
    const url = await server.database();
    return {
      store: await openAt(url),
      second: await openAt(url),
      reopen: () => openAt(url),
      contents: async () => ({
        passes: (
          await queryPostgres<{ message: PassMessage }>(url, 'SELECT message FROM girthlog.passes')
        ).map(({ message }) => message),
        deviations: (
          await queryPostgres<{ deviation: Deviation }>(url, 'SELECT deviation FROM girthlog.deviations')
        ).map(({ deviation }) => deviation),
        events: (await queryPostgres<{ message: RigEvent }>(url, 'SELECT message FROM girthlog.events')).map(
          ({ message }) => message,
        ),
        records: (
          await queryPostgres<{ n: number }>(url, 'SELECT count(*)::int AS n FROM girthlog.records')
        )[0]!.n,
        conflicts: (
          await queryPostgres<{ hash: string }>(url, 'SELECT hash FROM girthlog.record_conflicts')
        ).map(({ hash }) => hash),
      }),
    };
  });

  it('flushes every commit, also where the database is set to be quicker', async () => {
    const url = await server.database();
    const store = await openAt(url);
    await queryPostgres(url, `ALTER DATABASE ${new URL(url).pathname.slice(1)} SET synchronous_commit = off`);
    const client = new PostgresClient(url);
    await client.open();
    onTestFinished(() => client.close());
    const shown = await client.transaction(
      async inside => (await inside.query('SHOW synchronous_commit')).rows,
    );
    expect(shown).toEqual([{ synchronous_commit: 'on' }]);
    expect((await store.commitRecords(chain(1), AT)).streams).toMatchObject([{ upto: 1 }]);
  });

  it('keeps nothing of a batch that fails, and says that it may come again', async () => {
    const url = await server.database();
    const store = await openAt(url);
    await queryPostgres(url, 'ALTER TABLE girthlog.events RENAME TO elsewhere');
    const records = chain(2, { events: [] });
    const failing = store.commitRecords(
      [records[0]!, ...chain(1, { events: [testEvent(1)] }, 'e'.repeat(32))],
      AT,
    );
    const error: unknown = await failing.catch((reason: unknown) => reason);
    expect(postgresErrorKind(error)).toBe('passing');
    expect(await store.streamState(RIG, STREAM)).toBeNull();
    await queryPostgres(url, 'ALTER TABLE girthlog.elsewhere RENAME TO events');
    expect((await store.commitRecords(records, AT)).streams).toMatchObject([{ upto: 2 }]);
  });

  it('tells what is at fault: the line, the content, or we', () => {
    const withCode = (code: string): Error => Object.assign(new Error(code), { code });
    // Codes of the PostgreSQL documentation, appendix A.
    for (const code of ['57P01', '53100', '40P01', '08006', '25P02', '55P03', 'ECONNREFUSED']) {
      expect(postgresErrorKind(withCode(code)), code).toBe('passing');
    }
    for (const code of ['22P05', '23505', '54000'])
      expect(postgresErrorKind(withCode(code)), code).toBe('content');
    expect(postgresErrorKind(new Error('Connection terminated unexpectedly'))).toBe('passing');
    expect(postgresErrorKind(new TypeError('x is not a function'))).toBeNull();
  });

  it('makes its tables once, whoever comes first, and refuses those of a newer version', async () => {
    const url = await server.database();
    await Promise.all([openAt(url), openAt(url), openAt(url)]);
    expect(await queryPostgres(url, 'SELECT step FROM girthlog.layout')).toEqual([{ step: 1 }]);
    await queryPostgres(url, 'INSERT INTO girthlog.layout (step) VALUES (99)');
    await expect(openAt(url)).rejects.toThrow(ProgramError);
    await expect(openAt(url)).rejects.toThrow(/newer Girthlog \(layout 99/);
  });

  it('bears a line that ends in the middle of a transaction, between two queries', async () => {
    const url = await server.database();
    const client = new PostgresClient(url);
    await client.open();
    onTestFinished(() => client.close());
    const error: unknown = await client
      .transaction(async inside => {
        const [row] = (await inside.query('SELECT pg_backend_pid() AS pid')).rows;
        const ended = new Promise(resolve => inside.once('end', resolve));
        await queryPostgres(url, 'SELECT pg_terminate_backend($1)', [row.pid]);
        // The end of the line has been read before the next query is asked.
        await ended;
        await inside.query('SELECT 1');
      })
      .catch((reason: unknown) => reason);
    expect(postgresErrorKind(error)).toBe('passing');
    expect(await client.use(async again => (await again.query('SELECT 1 AS one')).rows)).toEqual([
      { one: 1 },
    ]);
  });

  it('goes on after the server was killed, with everything it had said', async () => {
    const own = await startPostgres();
    const url = await own.database();
    const store = await openAt(url);
    const records = chain(40);
    await store.commitRecords(records.slice(0, 20), AT);
    await own.kill();
    const error: unknown = await store
      .commitRecords(records.slice(20), AT)
      .catch((reason: unknown) => reason);
    expect(postgresErrorKind(error)).toBe('passing');
    await own.start();
    expect(await store.streamState(RIG, STREAM)).toMatchObject({ upto: 20 });
    expect((await store.commitRecords(records, AT)).streams).toMatchObject([
      { upto: 40, head: records[39]!.message.hash },
    ]);
  });
});
