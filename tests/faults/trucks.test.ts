/** More than one truck, many screens, readers that hold on: none of it reaches the recording. */
import { request } from 'node:http';
import { connect, type Socket } from 'node:net';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { startDashboard } from '../support/dashboard-program.ts';
import { mosquittoMissing } from '../support/mosquitto.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { startCommand } from '../support/programs.ts';
import { readEvents } from '../support/sse-reader.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';
import { account } from './harness/account.ts';
import { brokerPidOf } from './harness/children.ts';
import { afterSamples } from './harness/moment.ts';
import { makeStation, type Station } from './harness/station.ts';
import { newestTaken, readTruckStore } from './harness/stores.ts';

async function balanced(station: Station, edge: ReturnType<Station['startEdge']>): Promise<void> {
  await station.rig.stop();
  await station.allTaken(() => edge);
  expect(await edge.stop()).toBe(0);
  const books = await station.account();
  expect(books.holes).toEqual([]);
  expect(books.delivered.length).toBeGreaterThan(100);
}

describe.skipIf(mosquittoMissing)('two trucks', () => {
  it('that are both required each get everything, also when one of them was away', async () => {
    const station = await makeStation({
      seed: 1,
      rateHz: 100,
      broker: 'mosquitto',
      edgeSettings: ['store.required_stores=truck,yard'],
    });
    const yardData = join(tempDir(), 'yard');
    const startYard = () =>
      startDashboard({ data: yardData, args: ['--broker', station.brokerUrl, '--store', 'yard'] });
    await station.startTruck();
    let yard = await startYard();
    const heard = await station.listen();
    const edge = station.startEdge();
    await waitUntil(() => newestTaken(yardData) > 5, 'records in the yard');
    await yard.kill();
    const before = station.taken();
    await waitUntil(() => station.taken() > before + 10, 'the truck to go on alone');
    // Not released: one of the two lacks it.
    await waitUntil(() => (heard.live()?.buffer.waiting ?? 0) > 5, 'the edge to keep what the yard lacks');
    yard = await startYard();
    await station.rig.stop();
    await station.allTaken(() => edge);
    await waitUntil(
      () => newestTaken(yardData) === station.committed(),
      'the yard to have everything',
      30_000,
    );
    expect(await edge.stop()).toBe(0);
    for (const data of [station.truckData, yardData]) {
      const books = await account(station.rig, station.edgeFile, () => readTruckStore(data));
      expect(books.holes).toEqual([]);
      expect(books.delivered).toEqual(books.stored);
    }
  });
});

describe('screens', () => {
  it('fifty that watch, some that never read and two hundred half requests: recording goes on, the dead are dropped', async () => {
    const station = await makeStation({ seed: 1, rateHz: 100 });
    const truck = await station.startTruck();
    const edge = station.startEdge();
    await waitUntil(() => station.taken() > 3, 'records');
    const watching = await Promise.all(
      Array.from({ length: 50 }, () => readEvents(`${truck.http}/api/v1/stream`)),
    );
    const port = Number(new URL(truck.http).port);
    const open = new Set<Socket>();
    const raw = (text: string): void => {
      // Other machines, as far as a server can tell: one address may hold only so many.
      const from = `127.0.0.${60 + (open.size % 4)}`;
      const socket = connect({ port, host: '127.0.0.1', localAddress: from }, () => socket.write(text));
      open.add(socket);
      // What the server says before it hangs up has to be read, or the hanging up is not seen.
      socket.resume();
      socket.on('error', () => undefined);
      socket.on('close', () => open.delete(socket));
      onTestFinished(() => {
        socket.destroy();
      });
    };
    for (let i = 0; i < 200; i++) raw('GET /api/v1/rigs HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: ');
    await waitUntil(() => open.size === 200, 'the half requests to stand');
    for (let i = 0; i < 10; i++) {
      const never = request(`${truck.http}/api/v1/stream`, response => response.pause());
      never.on('error', () => undefined);
      never.end();
      onTestFinished(() => {
        never.destroy();
      });
    }
    await afterSamples(station.rig, 300);
    for (const { of } of watching) expect(of('live').length).toBeGreaterThan(3);
    expect((await truck.json<{ ready: boolean }>('/readyz')).ready).toBe(true);
    await waitUntil(
      () => open.size === 0,
      () => `${open.size} half requests to be dropped`,
      60_000,
    );
    for (const { close } of watching) close();
    await balanced(station, edge);
  });
});

describe('a program that keeps reading the stores', () => {
  it('holds up neither recording nor delivery', async () => {
    const station = await makeStation({ seed: 1, rateHz: 1000, format: 'binary' });
    const truck = await station.startTruck();
    const edge = station.startEdge();
    await waitUntil(() => station.taken() > 3, 'records');
    const files = [station.edgeFile, join(station.truckData, 'dashboard.sqlite3')];
    const readers = files.map(file => {
      const db = new Database(file, { readonly: true });
      db.exec('BEGIN');
      db.prepare('SELECT count(*) FROM sqlite_schema').get();
      onTestFinished(() => {
        db.close();
      });
      return db;
    });
    const before = station.taken();
    await waitUntil(() => station.taken() > before + 30, 'records in spite of the readers');
    for (const reader of readers) reader.close();
    expect((await truck.json<{ ready: boolean }>('/readyz')).ready).toBe(true);
    await balanced(station, edge);
  });
});

describe('the broker inside the truck', () => {
  it('runs out of memory: it is started again on its port, recording and delivery go on', async () => {
    const station = await makeStation({ seed: 1, rateHz: 100 });
    const truck = await station.startTruck();
    const edge = station.startEdge();
    await waitUntil(() => station.taken() > 3, 'records');
    const pid = await brokerPidOf(truck.child.pid!);
    const hungry = await mqttClient(truck.mqtt);
    const limit = startCommand('prlimit', ['--pid', `${pid}`, '--data=1']);
    expect(await limit.exited, limit.stderr()).toBe(0);
    // What it has to hold now, it cannot have.
    for (let rig = 0; rig < 60; rig++) {
      hungry.client.publish(`girthlog/1/site/rig-${rig}/info`, Buffer.alloc(60_000), {
        qos: 1,
        retain: true,
      });
    }
    await waitUntil(() => truck.counter('brokerExited'), 'the broker to end', 30_000);
    const again = await brokerPidOf(truck.child.pid!, pid);
    expect(again).not.toBe(pid);
    const before = station.taken();
    await waitUntil(
      () => station.taken() > before + 10,
      () => `records again; ${edge.stderr().slice(-1500)}`,
      30_000,
    );
    expect((await truck.json<{ ready: boolean }>('/readyz')).ready).toBe(true);
    await balanced(station, edge);
  });
});
