/**
 * One table of who may say and hear what, against two brokers: the embedded one, and a real Mosquitto started with the
 * files that `broker-config` writes. What counts is what arrives, not what a broker answers: in MQTT 3.1.1 a message that
 * may not be published is confirmed all the same (OASIS MQTT 3.1.1, 3.3.5).
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { IClientOptions } from 'mqtt';
import { describe, expect, it, onTestFinished } from 'vitest';
import { edgeClientId, principalOf } from '#core/topics/access';
import { BrokerProcess } from '../../dashboard/server/broker/broker-process.ts';
import { revocationList } from '../../dashboard/server/machines/certificate-authority.ts';
import { mosquittoFiles } from '../../dashboard/server/machines/mosquitto-files.ts';
import { ACCESS_MATRIX, WHO } from '../support/access-matrix.ts';
import { type EnrolledBoard, type EnrolledTruck, enrolledTruck } from '../support/enrolled-truck.ts';
import { freePort, mosquittoMissing } from '../support/mosquitto.ts';
import { startMosquittoFiles } from '../support/mosquitto-files.ts';
import { mqttClient, type TestClient } from '../support/mqtt-client.ts';
import { DIST } from '../support/programs.ts';
import { recordedEvents } from '../support/recorded-events.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';

type Connect = (who: string, subscribe?: readonly string[], options?: IClientOptions) => Promise<TestClient>;

const MARK = 'the end';

async function boardsOf(truck: EnrolledTruck): Promise<Record<string, EnrolledBoard>> {
  return {
    'spread-1/rig-a': await truck.enrol({ site: 'spread-1', rig: 'rig-a' }),
    'spread-1/rig-b': await truck.enrol({ site: 'spread-1', rig: 'rig-b' }),
    'store.truck': await truck.store('truck'),
    'store.office': await truck.store('office'),
  };
}

function connector(url: string, boards: Record<string, EnrolledBoard>): Connect {
  return async (who, subscribe = [], options = {}) => {
    const principal = principalOf(who)!;
    const clientId =
      principal.kind === 'edge' ? edgeClientId(principal) : `girthlog-${who.slice('store.'.length)}-test`;
    const { key, cert, ca } = boards[who]!;
    return await mqttClient(url, subscribe, { key, cert, ca, clientId, reconnectPeriod: 0, ...options });
  };
}

async function embedded(): Promise<{ connect: Connect; counts: Record<string, number> }> {
  const truck = await enrolledTruck();
  const boards = await boardsOf(truck);
  const { 'store.truck': own, 'store.office': office } = boards;
  const { report, counts } = recordedEvents();
  const broker = new BrokerProcess({
    program: pathToFileURL(join(DIST, 'broker.js')),
    listen: { host: '127.0.0.1', port: 0 },
    maxConnections: 16,
    maxRigs: 8,
    report,
    access: { isOpen: false, credentials: truck.credentials({ truck: own!, office: office! }) },
    tls: await truck.brokerTls(),
  });
  onTestFinished(() => broker.stop());
  return { connect: connector(`mqtts://127.0.0.1:${await broker.start()}`, boards), counts };
}

async function mosquitto(): Promise<{ connect: Connect }> {
  const truck = await enrolledTruck();
  const boards = await boardsOf(truck);
  const directory = tempDir();
  const port = await freePort();
  const authority = await truck.certificates.authority();
  const files = mosquittoFiles({
    directory,
    listen: { host: '127.0.0.1', port },
    maxConnections: 16,
    maxPacketBytes: 65_536,
    stores: ['truck', 'office'],
    server: await truck.certificates.server(),
    machineAuthority: authority.certificate,
    revoked: await revocationList(authority, truck.table.takenBack(), new Date(), 30),
  });
  for (const { name, text, mode } of files) writeFileSync(join(directory, name), text, { mode });
  await startMosquittoFiles(directory);
  const connect = connector(`mqtts://127.0.0.1:${port}`, boards);
  return { connect };
}

/** Everybody tries everything it is written down for; what arrives is held against the table. */
async function holdAgainstTable(connect: Connect): Promise<void> {
  const clients: Record<string, TestClient> = {};
  for (const who of WHO) clients[who] = await connect(who);
  const truck = clients['store.truck']!;
  await truck.client.subscribeAsync('girthlog/1/#', { qos: 1 });
  for (const row of ACCESS_MATRIX.filter(({ does }) => does === 'publish')) {
    await clients[row.who]!.publish(row.topic, row.who);
  }
  for (const who of WHO) await markedEnd(who);
  for (const { who, topic, allowed } of ACCESS_MATRIX.filter(({ does }) => does === 'publish')) {
    const arrived = truck.received.some(message => message.topic === topic && message.text === who);
    expect(arrived, `${who} publishes ${topic}`).toBe(allowed);
  }

  // Receiving: asked for in every way, whatever is answered.
  for (const who of WHO) {
    const topics = ACCESS_MATRIX.filter(row => row.who === who && row.does === 'receive').map(
      row => row.topic,
    );
    const wide = ['#', 'girthlog/1/#', 'girthlog/1/+/+/ack/+', '$SYS/#'];
    for (const filter of [...wide, `girthlog/1/${who}/assignment`, ...topics]) {
      await clients[who]!.client.subscribeAsync(filter, { qos: 1 }).catch(() => undefined);
    }
    clients[who]!.received.length = 0;
  }
  for (const row of ACCESS_MATRIX.filter(({ does, allowed }) => does === 'publish' && allowed)) {
    await clients[row.who]!.publish(row.topic, 'heard?');
  }
  for (const rig of ['rig-a', 'rig-b']) {
    for (const topic of ['ack/truck', 'assignment', 'watch']) {
      await truck.publish(`girthlog/1/spread-1/${rig}/${topic}`, 'heard?');
    }
  }
  for (const kind of ['status', 'info', 'live', 'event', 'pass', 'alarms', 'health', 'clock']) {
    await clients['spread-1/rig-b']!.publish(`girthlog/1/spread-1/rig-b/${kind}`, 'heard?');
  }
  for (const rig of ['rig-a', 'rig-b']) await truck.publish(`girthlog/1/spread-1/${rig}/assignment`, MARK);
  for (const rig of ['rig-a', 'rig-b']) {
    const edge = clients[`spread-1/${rig}`]!;
    await waitUntil(() => edge.received.some(({ text }) => text === MARK), `${rig} to hear the end`);
  }
  await markedEnd('spread-1/rig-a');
  await markedEnd('spread-1/rig-b');
  for (const { who, topic, allowed } of ACCESS_MATRIX.filter(({ does }) => does === 'receive')) {
    const heard = clients[who]!.received.some(message => message.topic === topic);
    expect(heard, `${who} hears ${topic}`).toBe(allowed);
  }
  for (const rig of ['rig-a', 'rig-b']) {
    const foreign = clients[`spread-1/${rig}`]!.received.filter(
      ({ topic }) => !topic.startsWith(`girthlog/1/spread-1/${rig}/`),
    );
    expect(foreign).toEqual([]);
  }
  for (const who of WHO) expect(clients[who]!.client.connected, who).toBe(true);

  /** The truck has everything that `who` could say before. */
  async function markedEnd(who: string): Promise<void> {
    const topic =
      who === 'store.truck'
        ? 'girthlog/1/spread-1/rig-a/watch'
        : who === 'store.office'
          ? 'girthlog/1/spread-1/rig-a/ack/office'
          : `girthlog/1/${who}/event`;
    const mark = `${MARK} of ${who} ${Math.trunc(performance.now())}`;
    await clients[who]!.publish(topic, mark);
    await waitUntil(() => truck.received.some(({ text }) => text === mark), `the truck to hear ${mark}`);
  }
}

describe('the table of who may say and hear what', () => {
  it('holds at the embedded broker, which tells every trespass', async () => {
    const { connect, counts } = await embedded();
    await holdAgainstTable(connect);
    const denied = ACCESS_MATRIX.filter(({ does, allowed }) => does === 'publish' && !allowed).length;
    await waitUntil(() => (counts['machineTrespassed'] ?? 0) >= denied, 'all trespasses to be told');
  });

  it.skipIf(mosquittoMissing)('holds at Mosquitto with the written files', async () => {
    const { connect } = await mosquitto();
    await holdAgainstTable(connect);
  });
});
