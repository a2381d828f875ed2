/** An edge before a cluster of brokers: several addresses, nodes that go away, nodes that are not ready yet. */
import { createServer } from 'node:net';
import { Aedes } from 'aedes';
import { describe, expect, it, onTestFinished } from 'vitest';
import { startDevice, writeConfig } from '../support/edge-bench.ts';
import { mosquittoMissing, startMosquitto } from '../support/mosquitto.ts';
import { type RunningProgram, startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';

async function startEdge(urls: readonly string[]): Promise<RunningProgram> {
  const { url } = await startDevice();
  return startProgram('girthlog-edge', ['run', '--config', writeConfig(tempDir(), url, urls.join(','))]);
}

describe('an edge with several addresses of one broker', () => {
  it.skipIf(mosquittoMissing)('goes to the next when the one it has goes away, and back again', async () => {
    const nodes = [await startMosquitto(), await startMosquitto()];
    const edge = await startEdge(nodes.map(({ url }) => url));
    const connections = (): string[] =>
      [...edge.stderr().matchAll(/"event":"brokerConnected","url":"([^"]+)"/g)].map(([, url = '']) => url);
    const connected = (count: number): Promise<unknown> =>
      waitUntil(
        () => connections().length >= count,
        () => `connection ${count}; ${edge.stderr().slice(-1500)}`,
        30_000,
      );
    await connected(1);
    for (let kill = 1; kill <= 2; kill++) {
      const at = nodes.find(({ url }) => url === connections().at(-1))!;
      await at.kill();
      await connected(kill + 1);
      expect(connections().at(-1)).toBe(nodes.find(one => one !== at)!.url);
      await at.start();
    }
    expect(await edge.stop()).toBe(0);
  });

  it('asks again for what a node refuses to subscribe, on the same connection', async () => {
    const granted = new Set<string>();
    let refusals = 0;
    let connections = 0;
    const broker = await Aedes.createBroker();
    broker.authorizeSubscribe = (_client, subscription, done) => {
      // MQTT 3.1.1 section 3.9.3: 0x80 says that it failed, not why.
      if (refusals < 3 && subscription.topic.endsWith('/assignment')) {
        refusals++;
        done(null, null);
        return;
      }
      granted.add(subscription.topic.split('/').slice(4).join('/'));
      done(null, subscription);
    };
    broker.on('client', () => connections++);
    const server = createServer(socket => void broker.handle(socket));
    await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
    onTestFinished(() => {
      broker.close();
      server.close();
    });
    const address = server.address();
    const port = typeof address === 'object' && address ? address.port : 0;
    const edge = await startEdge([`mqtt://127.0.0.1:${port}`]);
    await waitUntil(
      () => granted.has('assignment'),
      () => `the subscription; ${edge.stderr().slice(-1500)}`,
      30_000,
    );
    expect(refusals).toBe(3);
    expect(connections).toBe(1);
    expect([...granted].sort()).toEqual(['ack/+', 'assignment', 'procedure/+', 'time/+', 'watch']);
    expect(await edge.stop()).toBe(0);
  });
});
