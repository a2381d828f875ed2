/** The program with its samples read from a real InfluxDB: through an outage, and after the store let its own go. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Samples } from '#core/messages/api';
import type { System } from '#core/messages/api-lists';
import { startDashboard } from '../support/dashboard-program.ts';
import { influxMissing, startInfluxServer } from '../support/influx.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { START_MS, testChain } from '../support/test-records.ts';
import { waitUntil } from '../support/wait-until.ts';

const RECORD = 'girthlog/1/spread-1/rig-a/record';
const ACK = 'girthlog/1/spread-1/rig-a/ack/truck';

describe.skipIf(influxMissing)('samples = "influx"', () => {
  it('reads there what was written there, the store while it is away, and it alone after a prune', async () => {
    const server = await startInfluxServer();
    const config = join(tempDir(), 'dashboard.toml');
    writeFileSync(config, `influx = "${server.url}/welds"\nsamples = "influx"\n`);
    const dashboard = await startDashboard({ args: ['--config', config] });
    const listens = async () => (await dashboard.json<System>('/api/v1/system')).broker.connected;
    await waitUntil(listens, 'the dashboard to hear its broker');
    const edge = await mqttClient(dashboard.mqtt, [ACK]);
    const records = testChain(40);
    for (const record of records.slice(0, 20)) await edge.publish(RECORD, record);
    const read = (toS: number) =>
      dashboard.json<Samples>(
        `/api/v1/rigs/spread-1/rig-a/samples?from=${START_MS * 1000}&to=${(START_MS + toS * 1000) * 1000 - 1}&points=2000`,
      );
    const fromInflux = (toS: number) =>
      waitUntil(async () => {
        const answer = await read(toS);
        return answer.readFrom === 'influx' ? answer : null;
      }, 'the samples to be read from InfluxDB');
    const there = await fromInflux(20);
    expect(there).not.toHaveProperty('note');

    await server.kill();
    for (const record of records.slice(20)) await edge.publish(RECORD, record);
    // Taken over and acknowledged all the same.
    await edge.newest<{ upto: number }>(ACK, ack => ack.upto === 40);
    const away = await read(20);
    expect(away).toMatchObject({ readFrom: 'store', series: there.series, gaps: [] });
    expect(away.note).toMatch(/^InfluxDB cannot be read/);
    const all = await read(40);
    const prune = async () => {
      const program = startProgram('girthlog-dashboard', [
        ...['prune', '--before', '2026-06-01', '--unsealed', '--keep', 'none', '--in-influx', '--yes'],
        ...['--data', dashboard.data, '--config', config],
      ]);
      return { code: await program.exited, stderr: program.stderr() };
    };
    expect(await prune()).toMatchObject({ code: 7, stderr: expect.stringContaining('InfluxDB') });

    await server.start();
    expect((await fromInflux(40)).series).toEqual(all.series);
    expect(await prune()).toMatchObject({ code: 0 });
    const pruned = await fromInflux(40);
    expect(pruned.series).toEqual(all.series);
    expect(pruned).not.toHaveProperty('summarised');
  });
});
