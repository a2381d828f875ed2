/** girthlog-dashboard as a person or a script starts it. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { RigList, System } from '#core/messages/api-lists';
import { startDashboard } from '../support/dashboard-program.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { STREAM, testChain } from '../support/test-records.ts';
import { waitUntil } from '../support/wait-until.ts';

async function ended(...args: string[]) {
  const program = startProgram('girthlog-dashboard', args);
  const code = await program.exited;
  return { code, stdout: program.stdout(), stderr: program.stderr() };
}

describe('girthlog-dashboard', () => {
  it('prints exactly one JSON line when ready, ends cleanly, and goes on with its data', async () => {
    const first = await startDashboard();
    expect(first.stdout()).toBe(`${JSON.stringify({ ready: true, http: first.http, mqtt: first.mqtt })}\n`);
    const edge = await mqttClient(first.mqtt);
    for (const record of testChain(3)) await edge.publish('girthlog/1/spread-1/rig-a/record', record);
    await waitUntil(async () => (await first.counter('recordStored')) === 3, 'three records');
    const person = await first.post('/api/v1/people', { name: 'A. Example', roles: ['viewer'] });
    const [brokerPid] = readFileSync(
      `/proc/${first.child.pid}/task/${first.child.pid}/children`,
      'utf8',
    ).split(' ');
    // A screen that watches must not hold it up.
    const watching = await fetch(`${first.http}/api/v1/stream`);
    const askedMs = performance.now();
    expect(await first.stop()).toBe(0);
    expect(performance.now() - askedMs).toBeLessThan(5000);
    await watching.body?.cancel().catch(() => {});
    expect(existsSync(`/proc/${brokerPid}`)).toBe(false);
    expect(first.stdout().split('\n')).toHaveLength(2);

    const second = await startDashboard({ data: first.data });
    expect(await second.json<RigList>('/api/v1/rigs')).toMatchObject({
      rigs: [{ rig: 'rig-a', place: 0, info: null }],
    });
    expect(await second.json<System>('/api/v1/system')).toMatchObject({
      streams: [{ stream: STREAM, upto: 3 }],
    });
    expect(await second.json('/api/v1/people')).toEqual({
      people: [{ ...(person as object), hasPassphrase: false }],
      verified: false,
    });
  });

  it('stops on Ctrl-C too', async () => {
    const dashboard = await startDashboard();
    dashboard.child.kill('SIGINT');
    expect(await dashboard.exited).toBe(0);
  });

  it('has kept what it acknowledged when it is killed', async () => {
    const first = await startDashboard();
    const edge = await mqttClient(first.mqtt, ['girthlog/1/spread-1/rig-a/ack/truck']);
    // An edge would send again; this one sends once, so the dashboard must be listening.
    const listens = async (): Promise<boolean> =>
      (await first.json<System>('/api/v1/system')).broker.connected;
    await waitUntil(listens, 'the dashboard to hear its broker');
    const records = testChain(30);
    void Promise.all(records.map(record => edge.publish('girthlog/1/spread-1/rig-a/record', record))).catch(
      () => {},
    );
    const { upto } = await edge.newest<{ upto: number }>(
      'girthlog/1/spread-1/rig-a/ack/truck',
      ack => ack.upto > 0,
    );
    await first.kill();
    const second = await startDashboard({ data: first.data });
    const { streams } = await second.json<System>('/api/v1/system');
    expect(streams[0]?.upto).toBeGreaterThanOrEqual(upto);
  });

  it('says in one sentence which port is taken and what to do: exit 6', async () => {
    const server = createServer();
    await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
    onTestFinished(() => {
      server.close();
    });
    const { port } = server.address() as AddressInfo;
    const data = join(tempDir(), 'data');
    const { code, stdout, stderr } = await ended(
      'run',
      '--data',
      data,
      '--http',
      `127.0.0.1:${port}`,
      '--mqtt',
      '127.0.0.1:0',
      '--log-level',
      'silent',
    );
    expect({ code, stdout }).toEqual({ code: 6, stdout: '' });
    expect(stderr).toBe(
      `girthlog-dashboard: Port ${port} on 127.0.0.1 is already in use: stop the program that holds it, ` +
        'or choose another port with --http 127.0.0.1:PORT.\n',
    );
  });

  it('says in one sentence that it cannot write its data: exit 3', async () => {
    const file = join(tempDir(), 'a-file');
    writeFileSync(file, '');
    const { code, stderr } = await ended('run', '--data', join(file, 'data'), '--http', '127.0.0.1:0');
    expect(code).toBe(3);
    expect(stderr).toMatch(/^girthlog-dashboard: Cannot write in the data directory .*--data\.\n$/);
  });

  it('does not open itself to the network by oversight: exit 3', async () => {
    const { code, stderr } = await ended('run', '--http', '0.0.0.0:8080');
    expect(code).toBe(3);
    expect(stderr).toMatch(/^girthlog-dashboard: .*without encryption.*--tls on.*--open-network.*\n$/);
  });

  it('begins its help with examples, and ends with 2 where it is used wrongly', async () => {
    const help = await ended('--help');
    expect(help.code).toBe(0);
    expect(help.stdout).toMatch(/^Examples:\n {2}girthlog-dashboard run /);
    expect((await ended('run', '--prot', '1')).code).toBe(2);
    expect((await ended()).code).toBe(2);
  });

  it('shows where each setting comes from', async () => {
    const file = join(tempDir(), 'dashboard.toml');
    writeFileSync(file, 'store = "yard"\n');
    const { stdout, code } = await ended('config', '--config', file, '--json');
    expect(code).toBe(0);
    const rows = JSON.parse(stdout) as { name: string; value: unknown; source: string }[];
    expect(rows.find(row => row.name === 'store')).toEqual({
      name: 'store',
      value: 'yard',
      source: `${file} (store)`,
    });
    expect(rows.find(row => row.name === 'maxRigs')?.source).toBe('default');
  });

  it('prints the documents that are kept in docs', async () => {
    for (const name of ['openapi', 'asyncapi']) {
      const kept = readFileSync(new URL(`../../docs/${name}.json`, import.meta.url), 'utf8');
      expect((await ended(name)).stdout === kept).toBe(true);
    }
  });
});
