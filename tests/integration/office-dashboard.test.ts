/** A dashboard in the office that follows a fleet's database: everything in it, nothing said to an edge. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { System } from '#core/messages/api-lists';
import type { PassMessage } from '#core/messages/pass';
import { PostgresClient } from '../../dashboard/server/fleet/postgres-client.ts';
import { PostgresRecordStore } from '../../dashboard/server/fleet/postgres-record-store.ts';
import { verifyRecord } from '../../dashboard/server/ingest/verify-record.ts';
import { type DashboardProgram, startDashboard } from '../support/dashboard-program.ts';
import { mosquittoMissing, startMosquitto } from '../support/mosquitto.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { postgresMissing, queryPostgres, startPostgres } from '../support/postgres.ts';
import { startProgram } from '../support/programs.ts';
import { reduceMessage } from '../support/reduce-record-message.ts';
import { tempDir } from '../support/temp-dir.ts';
import { OTHER_STREAM, START_MS, STREAM, testChain, testLive, testPass } from '../support/test-records.ts';
import { waitUntil } from '../support/wait-until.ts';

const AT = new Date(START_MS).toISOString();

function verified(rig: string, messages: ReturnType<typeof testChain>) {
  return messages.map(message => {
    const result = verifyRecord({ site: 'spread-1', rig }, message);
    if (!result.ok) throw new Error(result.event);
    return result.record;
  });
}

async function stands(office: DashboardProgram): Promise<unknown[]> {
  const { streams } = await office.json<System>('/api/v1/system');
  return streams
    .map(({ rig, stream, first, upto }) => ({ rig, stream, first, upto }))
    .sort((a, b) => `${a.rig}${a.stream}`.localeCompare(`${b.rig}${b.stream}`));
}

describe.skipIf(mosquittoMissing || postgresMissing)('records beside the edges', () => {
  it('an office dashboard takes everything over from the database, live values from the broker, and tells the edges nothing', async () => {
    const server = await startPostgres();
    const url = await server.database();
    const client = new PostgresClient(url);
    await client.open();
    onTestFinished(() => client.close());
    const fleet = new PostgresRecordStore(client);
    await fleet.prepare();
    const long = testChain(450, { passes: [testPass(1)] });
    await fleet.commitRecords(verified('rig-a', long), AT);
    // One that begins late, and one with a record whose samples gave way.
    await fleet.commitRecords(verified('rig-a', testChain(6, {}, OTHER_STREAM).slice(3)), AT);
    await fleet.startStreamAt({ site: 'spread-1', rig: 'rig-a' }, OTHER_STREAM, 4);
    const b = testChain(8, { rig: 'rig-b' }).map((one, i) => (i === 2 ? reduceMessage(one, 'thinned') : one));
    await fleet.commitRecords(verified('rig-b', b.slice(0, 5)), AT);

    const broker = await startMosquitto();
    const edges = await mqttClient(broker.url, ['girthlog/1/+/+/ack/+', 'girthlog/1/+/+/time/+']);
    const config = join(tempDir(), 'office.toml');
    writeFileSync(config, `follow = "${url}"\nbroker = "${broker.url}"\nstore = "office"\n`);
    const data = join(tempDir(), 'data');
    const office = await startDashboard({ data, args: ['--config', config] });
    const whole = (ofB: number) => [
      { rig: 'rig-a', stream: STREAM, first: 1, upto: 450 },
      { rig: 'rig-a', stream: OTHER_STREAM, first: 4, upto: 6 },
      { rig: 'rig-b', stream: STREAM, first: 1, upto: ofB },
    ];
    const taken = (program: DashboardProgram, ofB: number): Promise<boolean> =>
      waitUntil(
        async () => JSON.stringify(await stands(program)) === JSON.stringify(whole(ofB)),
        () => `the records; ${program.stderr().slice(-1500)}`,
        30_000,
      );
    await taken(office, 5);
    expect(await office.json<PassMessage>(`/api/v1/passes/${STREAM}:1`)).toEqual(testPass(1));

    // The database goes away: the page stays, and goes on when it is back.
    await server.kill();
    await waitUntil(async () => (await office.counter('followFailed')) > 0, 'the outage to be noticed');
    expect(await office.json<PassMessage>(`/api/v1/passes/${STREAM}:1`)).toEqual(testPass(1));
    await server.start();
    await fleet.commitRecords(verified('rig-b', b.slice(5)), AT);
    await taken(office, 8);

    await edges.publish('girthlog/1/spread-1/rig-a/live', testLive(START_MS * 1000 + 450e6));
    const rigs = (): Promise<{ rigs: { rig: string; live: { arc: string } | null }[] }> =>
      office.json('/api/v1/rigs');
    await waitUntil(
      async () => (await rigs()).rigs.some(({ rig, live }) => rig === 'rig-a' && live?.arc === 'on'),
      'the live value',
    );
    await edges.publish('girthlog/1/spread-1/rig-a/clock', { origin: 'simulated', id: 1 });
    await edges.publish('girthlog/1/spread-1/rig-a/record', testChain(451)[450]);
    expect(await office.stop()).toBe(0);
    expect(edges.received).toEqual([]);

    // Any number of them: another one, from nothing.
    const second = await startDashboard({ args: ['--config', config] });
    await taken(second, 8);
    expect(await second.counter('recordDuplicate')).toBe(0);
  });

  it('records of a truck are carried into the database once, however often, and beside the running dashboard', async () => {
    const server = await startPostgres();
    const url = await server.database();
    const truck = await startDashboard();
    const edge = await mqttClient(truck.mqtt);
    const chain = testChain(260, { passes: [testPass(1)] });
    await Promise.all(chain.map(record => edge.publish('girthlog/1/spread-1/rig-a/record', record)));
    const late = testChain(9, { rig: 'rig-b' }).slice(0, 6);
    await Promise.all(late.map(record => edge.publish('girthlog/1/spread-1/rig-b/record', record)));
    await waitUntil(async () => {
      const all = (await stands(truck)) as { upto: number }[];
      return all.length === 2 && all[0]!.upto === 260 && all[1]!.upto === 6;
    }, 'the records at the truck');
    const carry = async (): Promise<string> => {
      const program = startProgram('girthlog-dashboard', ['carry', '--data', truck.data], {
        GIRTHLOG_INGEST_RECORDS: url,
      });
      expect(await program.exited, program.stderr()).toBe(0);
      return program.stdout();
    };
    expect(await carry()).toMatch(/^266 records carried, 0 were there, 0 with another content/);
    expect(await carry()).toMatch(/^0 records carried/);
    const kept = await queryPostgres(url, 'SELECT rig, upto, head FROM girthlog.streams ORDER BY rig');
    expect(kept).toEqual([
      { rig: 'rig-a', upto: '260', head: chain.at(-1)!.hash },
      { rig: 'rig-b', upto: '6', head: late.at(-1)!.hash },
    ]);
    await server.kill();
    const failed = startProgram('girthlog-dashboard', ['carry', '--data', truck.data, '--records', url]);
    expect(await failed.exited).toBe(6);
    expect(failed.stderr()).toMatch(/^girthlog-dashboard: Carried 0 records, then not on: .*\n$/);
  });
});
