/** The embedded broker in its own process, under the limits it promises. */
import { readFileSync } from 'node:fs';
import { connect as connectSocket, createServer, type Socket } from 'node:net';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { connect } from 'mqtt';
import { describe, expect, it, onTestFinished } from 'vitest';
import { BrokerProcess } from '../../dashboard/server/broker/broker-process.ts';
import { freePort } from '../support/mosquitto.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { DIST } from '../support/programs.ts';
import { recordedEvents } from '../support/recorded-events.ts';
import { waitUntil } from '../support/wait-until.ts';

const TOPIC = 'girthlog/1/spread-1/rig-a/event';

async function startBroker(parts: { port?: number; maxConnections?: number; maxRigs?: number } = {}) {
  const { report, counts } = recordedEvents();
  const broker = new BrokerProcess({
    program: pathToFileURL(join(DIST, 'broker.js')),
    listen: { host: '127.0.0.1', port: parts.port ?? 0 },
    maxConnections: parts.maxConnections ?? 64,
    maxRigs: parts.maxRigs ?? 8,
    report,
  });
  onTestFinished(() => broker.stop());
  const port = await broker.start();
  return { broker, port, url: `mqtt://127.0.0.1:${port}`, counts };
}

function rawSocket(port: number): Promise<Socket> {
  return new Promise((resolve, reject) => {
    const socket = connectSocket(port, '127.0.0.1', () => resolve(socket));
    socket.on('error', reject);
    onTestFinished(() => {
      socket.destroy();
    });
  });
}

/** Resident memory of a process, MB. */
function rssMb(pid: number): number {
  const kb = /VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1];
  return Number(kb) / 1024;
}

describe('embedded broker', () => {
  it('takes the next free port when the wanted one is in use', async () => {
    const taken = createServer();
    const wanted = await freePort();
    await new Promise<void>(resolve => taken.listen(wanted, '127.0.0.1', resolve));
    onTestFinished(() => {
      taken.close();
    });
    const { port, url } = await startBroker({ port: wanted });
    expect(port).toBeGreaterThan(wanted);
    await mqttClient(url);
  });

  it('carries retained messages and last wills', async () => {
    const { url } = await startBroker();
    const status = 'girthlog/1/spread-1/rig-a/status';
    const edge = await mqttClient(url, [], {
      will: { topic: status, payload: Buffer.from('"lost"'), qos: 1, retain: true },
    });
    await edge.publish(status, '"ready"', true);
    const late = await mqttClient(url, ['girthlog/1/+/+/#']);
    await late.newest(status, message => message === 'ready');
    edge.client.stream.destroy();
    edge.client.end(true);
    await late.newest(status, message => message === 'lost');
  });

  it('is not grown by sockets that announce huge packets, and goes on serving', async () => {
    const { broker, port, url, counts } = await startBroker();
    const watcher = await mqttClient(url, [TOPIC]);
    const sender = await mqttClient(url);
    const before = rssMb(broker.pid!);
    // CONNECT with a remaining length of 268,435,455 bytes (MQTT 3.1.1, table 2.4), then as much as it takes.
    const announce = Buffer.of(0x10, 0xff, 0xff, 0xff, 0x7f);
    const filler = Buffer.alloc(1_000_000, 0x41);
    const flood = async (): Promise<void> => {
      const socket = await rawSocket(port);
      socket.removeAllListeners('error');
      socket.on('error', () => {});
      socket.write(announce);
      for (let mb = 0; mb < 100 && !socket.destroyed; mb++) {
        if (!socket.write(filler)) {
          await new Promise<void>(resolve => {
            socket.once('drain', resolve);
            socket.once('close', () => resolve());
          });
        }
      }
    };
    const floods = [flood(), flood(), flood(), flood()];
    for (let n = 1; n <= 500; n++) await sender.publish(TOPIC, String(n));
    await Promise.all(floods);
    await watcher.newest(TOPIC, n => n === 500);
    expect(watcher.received).toHaveLength(500);
    await waitUntil(() => counts['brokerRefused']! >= 4, 'all four refusals');
    // Measured here: 5 to 7 MB with the guard; without it four sockets would leave 400 MB.
    expect(rssMb(broker.pid!) - before).toBeLessThan(30);
  });

  it('refuses a packet over 64 KiB, and takes one that just fits', async () => {
    const { url, counts } = await startBroker();
    const watcher = await mqttClient(url, [TOPIC]);
    const sender = await mqttClient(url);
    await sender.publish(TOPIC, `"${'x'.repeat(65_000)}"`);
    await watcher.newest(TOPIC, () => true);
    sender.client.publish(TOPIC, 'x'.repeat(70_000), { qos: 0 });
    await waitUntil(() => counts['brokerRefused'], 'the refusal');
    expect(watcher.received).toHaveLength(1);
  });

  it('refuses persistent sessions, foreign topics, and rigs without number', async () => {
    const { url, counts } = await startBroker({ maxRigs: 2 });
    const persistent = connect(url, {
      protocolVersion: 4,
      clean: false,
      clientId: 'keeps',
      reconnectPeriod: 0,
    });
    persistent.on('error', () => {});
    await new Promise<void>(resolve => persistent.once('close', resolve));
    await waitUntil(() => counts['brokerRefused'], 'the refusal of a session');
    const watcher = await mqttClient(url, ['#']);
    // Confirmed and dropped (MQTT 3.1.1, 3.3.5: no answer for "no" but PUBACK or closing), so nobody comes back with it.
    const sender = await mqttClient(url, [], { reconnectPeriod: 0 });
    for (const topic of ['other/topic', 'girthlog/1/spread-1/rig-a/start', '$SYS/x']) {
      const before = counts['brokerRefused']!;
      await sender.publish(topic, 'x', true);
      await waitUntil(() => counts['brokerRefused']! > before, `the refusal of ${topic}`);
    }
    for (const rig of ['rig-1', 'rig-2', 'rig-3']) {
      await sender.publish(`girthlog/1/spread-1/${rig}/event`, '1');
    }
    expect(sender.client.connected).toBe(true);
    await waitUntil(() => watcher.received.length >= 2, 'the two messages');
    expect(watcher.received.map(({ topic }) => topic)).toEqual([
      'girthlog/1/spread-1/rig-1/event',
      'girthlog/1/spread-1/rig-2/event',
    ]);
  });

  it('holds no more connections than set', async () => {
    const { port, url, counts } = await startBroker({ maxConnections: 3 });
    await mqttClient(url);
    await rawSocket(port);
    await rawSocket(port);
    const fourth = await rawSocket(port);
    fourth.resume();
    await new Promise<void>(resolve => fourth.once('close', () => resolve()));
    await waitUntil(() => counts['brokerRefused'], 'the refusal');
  });

  it('is started again though a first try could not even make a process', async () => {
    const { broker, url, counts } = await startBroker();
    const { execPath } = process;
    onTestFinished(() => {
      process.execPath = execPath;
    });
    process.execPath = '/nowhere/node';
    process.kill(broker.pid!, 'SIGKILL');
    await waitUntil(() => (counts['brokerExited'] ?? 0) >= 2, 'a try without a process to have failed');
    process.execPath = execPath;
    await waitUntil(() => counts['brokerStarted'] === 2, 'the broker to be there again');
    await mqttClient(url);
  });

  it('is started again on the same port when its process dies', async () => {
    const { broker, url, counts } = await startBroker();
    const watcher = await mqttClient(url);
    const firstPid = broker.pid!;
    process.kill(firstPid, 'SIGKILL');
    await waitUntil(() => broker.pid !== firstPid && counts['brokerStarted'] === 2, 'the second start');
    await waitUntil(() => watcher.client.connected, 'the client to be back');
    expect(counts).toMatchObject({ brokerExited: 1 });
  });
});
