/** What somebody on the truck's network may try, against the broker and the page over TLS. */
import { writeFileSync } from 'node:fs';
import { request } from 'node:https';
import { connect as connectSocket } from 'node:net';
import { join } from 'node:path';
import { type ConnectionOptions, connect as connectTls, type SecureVersion } from 'node:tls';
import { pathToFileURL } from 'node:url';
import { connect, type IClientOptions } from 'mqtt';
import { describe, expect, it, onTestFinished } from 'vitest';
import { BrokerProcess } from '../../dashboard/server/broker/broker-process.ts';
import {
  issueServer,
  makeAuthority,
  makeMachine,
} from '../../dashboard/server/machines/certificate-authority.ts';
import { enrolledTruck } from '../support/enrolled-truck.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { DIST } from '../support/programs.ts';
import { recordedEvents } from '../support/recorded-events.ts';
import { tempDir } from '../support/temp-dir.ts';
import { startTlsTruck } from '../support/tls-truck.ts';
import { waitUntil } from '../support/wait-until.ts';

const RIG_A = { site: 'spread-1', rig: 'rig-a' };
const RIG_B = { site: 'spread-1', rig: 'rig-b' };
const NAME_A = 'girthlog/spread-1/rig-a';
const NAME_B = 'girthlog/spread-1/rig-b';
const ofA = (kind: string): string => `girthlog/1/spread-1/rig-a/${kind}`;
const ofB = (kind: string): string => `girthlog/1/spread-1/rig-b/${kind}`;

async function startBroker() {
  const truck = await enrolledTruck();
  const [a, b, own] = [await truck.enrol(RIG_A), await truck.enrol(RIG_B), await truck.store('truck')];
  const { report, counts } = recordedEvents();
  const refused: string[] = [];
  const access = () => ({ isOpen: false, credentials: truck.credentials({ truck: own }) });
  const broker = new BrokerProcess({
    program: pathToFileURL(join(DIST, 'broker.js')),
    listen: { host: '127.0.0.1', port: 0 },
    maxConnections: 32,
    maxRigs: 8,
    report,
    onRefused: identity => refused.push(identity),
    access: access(),
    tls: await truck.brokerTls(),
  });
  onTestFinished(() => broker.stop());
  const port = await broker.start();
  const url = `mqtts://127.0.0.1:${port}`;
  const withA: IClientOptions = { key: a.key, cert: a.cert, ca: a.ca, clientId: NAME_A, reconnectPeriod: 0 };
  const withB: IClientOptions = { key: b.key, cert: b.cert, ca: b.ca, clientId: NAME_B, reconnectPeriod: 0 };
  const watcher = () =>
    mqttClient(url, ['girthlog/1/+/+/#'], {
      ...{ key: own.key, cert: own.cert, ca: own.ca },
      clientId: 'girthlog-truck-1',
    });
  return { truck, broker, port, url, withA, withB, watcher, counts, refused, access, ca: a.ca };
}

/** How a connection that should not come about ends: the code of CONNACK, or the error of the socket. */
function refusal(url: string, options: IClientOptions): Promise<string | number> {
  const client = connect(url, { protocolVersion: 4, reconnectPeriod: 0, connectTimeout: 5000, ...options });
  onTestFinished(() => {
    client.end(true);
  });
  return new Promise(resolve => {
    client.once('connect', () => resolve('let in'));
    client.on('error', error => resolve((error as { code?: string | number }).code ?? error.message));
    client.once('close', () => resolve('closed'));
  });
}

/** The error that ends a TLS handshake of this version, by a client that would take anything. */
function handshake(port: number, version: SecureVersion): Promise<string> {
  return new Promise(resolve => {
    const socket = connectTls(
      {
        ...{ host: '127.0.0.1', port, rejectUnauthorized: false, minVersion: version, maxVersion: version },
        ciphers: 'DEFAULT@SECLEVEL=0',
      },
      () => {
        resolve(socket.getProtocol() ?? '');
        socket.destroy();
      },
    );
    socket.on('error', error => resolve((error as NodeJS.ErrnoException).code ?? error.message));
  });
}

/** CONNECT as rig A (OASIS MQTT 3.1.1, 3.1) by a TLS session of one's own; the code of CONNACK, and the session's ticket. */
function connackOf(
  port: number,
  { key, cert, ca }: IClientOptions,
  version: SecureVersion,
  resumed?: Buffer,
): Promise<{ code: number | undefined; isResumed: boolean; session: Buffer | undefined }> {
  const id = Buffer.from(NAME_A);
  const head = Buffer.from([0, 4, ...Buffer.from('MQTT'), 4, 2, 0, 60, 0, id.length]);
  const packet = Buffer.concat([Buffer.from([0x10, head.length + id.length]), head, id]);
  return new Promise((resolve, reject) => {
    let session: Buffer | undefined;
    const tls = { key, cert, ca, minVersion: version, maxVersion: version } as ConnectionOptions;
    const socket = connectTls({ host: '127.0.0.1', port, ...tls, ...(resumed && { session: resumed }) }, () =>
      socket.write(packet),
    );
    socket.on('session', (ticket: Buffer) => {
      session = ticket;
    });
    socket.on('error', reject);
    // CONNACK: type, length, flags, code.
    socket.once('data', (answer: Buffer) => {
      resolve({ code: answer[3], isResumed: socket.isSessionReused(), session });
      socket.destroy();
    });
  });
}

/** What a server says to bytes that are not TLS, until it closes. */
function answerTo(port: number, bytes: Uint8Array | string): Promise<string> {
  return new Promise(resolve => {
    const chunks: Buffer[] = [];
    const socket = connectSocket(port, '127.0.0.1', () => socket.write(bytes));
    socket.on('data', chunk => chunks.push(chunk));
    socket.on('error', () => undefined);
    socket.on('close', () => resolve(Buffer.concat(chunks).toString('latin1')));
  });
}

describe('the broker', () => {
  it('lets in nobody without a certificate, with one of another authority, or with one that was replaced', async () => {
    const { truck, url, withA, refused, access, broker, ca } = await startBroker();
    const foreign = await makeMachine(
      await makeAuthority('Other', new Date()),
      'spread-1/rig-a',
      new Date(),
      30,
    );
    expect(await refusal(url, { ca, clientId: NAME_A })).toBe(5);
    expect(await refusal(url, { ca, clientId: NAME_A, username: 'spread-1/rig-a', password: 'x' })).toBe(5);
    expect(await refusal(url, { ca, clientId: NAME_A, cert: foreign.certificate, key: foreign.key })).toBe(5);
    await truck.enrol(RIG_A);
    broker.setAccess(access());
    expect(await refusal(url, withA)).toBe(5);
    await waitUntil(() => refused.length >= 4, 'the refusals to be told');
    expect(refused).toEqual([NAME_A, 'spread-1/rig-a', NAME_A, 'spread-1/rig-a']);
    // The board on its side does not speak to whom it does not know.
    expect(await refusal(url, { ...withA, ca: (await makeAuthority('Other', new Date())).certificate })).toBe(
      'SELF_SIGNED_CERT_IN_CHAIN',
    );
  });

  it('ends an open connection at once when its machine is revoked, and says its last word', async () => {
    const { truck, url, withA, withB, watcher, access, broker } = await startBroker();
    const store = await watcher();
    const will = { topic: ofA('status'), payload: Buffer.from('"lost"'), qos: 1 as const, retain: true };
    const edge = await mqttClient(url, [], { ...withA, will });
    const other = await mqttClient(url, [], withB);
    const closed = new Promise<void>(resolve => edge.client.once('close', () => resolve()));
    truck.desk.revoke(RIG_A, 'test', 'stolen');
    broker.setAccess(access());
    await closed;
    await store.newest(ofA('status'), word => word === 'lost');
    await other.publish(ofB('event'), '1');
    await store.newest(ofB('event'), event => event === 1);
    expect(await refusal(url, withA)).toBe(5);
  });

  it.each(['TLSv1.2', 'TLSv1.3'] as const)(
    'asks again who comes back with the ticket of an earlier session: %s',
    async version => {
      const { truck, port, withA, access, broker } = await startBroker();
      const before = await connackOf(port, withA, version);
      expect([before.code, before.isResumed]).toEqual([0, false]);
      truck.desk.revoke(RIG_A, 'test', 'stolen');
      broker.setAccess(access());
      const after = await connackOf(port, withA, version, before.session);
      expect([after.code, after.isResumed]).toEqual([5, true]);
    },
  );

  it('refuses another’s client id, and the other stays', async () => {
    const { url, withA, withB, counts } = await startBroker();
    const victim = await mqttClient(url, [], withA);
    expect(await refusal(url, { ...withB, clientId: NAME_A })).toBe(5);
    expect(await refusal(url, { ...withB, clientId: 'girthlog-truck-1' })).toBe(5);
    await victim.publish(ofA('event'), '1');
    expect(victim.client.connected).toBe(true);
    await waitUntil(() => counts['machineTrespassed'] === 2, 'both to be told');
  });

  it('refuses a last will under another’s topic, and never says it', async () => {
    const { url, withA, withB, watcher, counts } = await startBroker();
    const store = await watcher();
    const will = { topic: ofA('status'), payload: Buffer.from('"lost"'), qos: 1 as const, retain: true };
    expect(await refusal(url, { ...withB, will })).toBe(5);
    const edge = await mqttClient(url, [], withA);
    await edge.publish(ofA('event'), '1');
    await store.newest(ofA('event'), event => event === 1);
    expect(store.received.map(({ topic }) => topic)).toEqual([ofA('event')]);
    expect(counts['machineTrespassed']).toBe(1);
  });

  it('drops what a machine says for another, a thousand times over, without closing and without flooding the log', async () => {
    const { url, withB, watcher, counts, refused } = await startBroker();
    const store = await watcher();
    const rogue = await mqttClient(url, [], withB);
    for (let n = 0; n < 1000; n++) rogue.client.publish(ofA('record'), `${n}`, { qos: 0 });
    await rogue.publish(ofB('event'), '1');
    await store.newest(ofB('event'), event => event === 1);
    expect(store.received.map(({ topic }) => topic)).toEqual([ofB('event')]);
    expect(rogue.client.connected).toBe(true);
    await waitUntil(() => counts['machineTrespassed'] === 1000, 'every one to be counted');
    expect(refused).toEqual([]);
  });

  it('closes on a message to a wildcard, which is no topic name (OASIS MQTT 3.1.1, 3.3.2.1)', async () => {
    const { url, withB, watcher } = await startBroker();
    const store = await watcher();
    for (const topic of ['girthlog/1/+/rig-a/record', 'girthlog/1/spread-1/#', '#']) {
      const rogue = await mqttClient(url, [], withB);
      const closed = new Promise<void>(resolve => rogue.client.once('close', () => resolve()));
      rogue.client.publish(topic, 'x', { qos: 0 });
      await closed;
    }
    const honest = await mqttClient(url, [], withB);
    await honest.publish(ofB('event'), '1');
    await store.newest(ofB('event'), event => event === 1);
    expect(store.received.map(({ topic }) => topic)).toEqual([ofB('event')]);
  });

  it('speaks TLS 1.2 and 1.3, nothing older, and no plain MQTT', async () => {
    const { port, counts } = await startBroker();
    expect(await handshake(port, 'TLSv1.2')).toBe('TLSv1.2');
    expect(await handshake(port, 'TLSv1.3')).toBe('TLSv1.3');
    for (const old of ['TLSv1.1', 'TLSv1'] as const) {
      expect(await handshake(port, old)).toBe('ERR_SSL_TLSV1_ALERT_PROTOCOL_VERSION');
    }
    // CONNECT of MQTT 3.1.1 with the client id "a" (OASIS MQTT 3.1.1, 3.1).
    const plain = Buffer.of(0x10, 13, 0, 4, 0x4d, 0x51, 0x54, 0x54, 4, 2, 0, 60, 0, 1, 0x61);
    expect((await answerTo(port, plain)).startsWith('\x20')).toBe(false);
    await waitUntil(() => counts['brokerRefused'], 'the refusal to be told');
  });

  it('measures packets inside TLS as well, and lets no machine in beside it', async () => {
    const { url, withA, watcher, counts, broker } = await startBroker();
    const store = await watcher();
    const rogue = await mqttClient(url, [], withA);
    const closed = new Promise<void>(resolve => rogue.client.once('close', () => resolve()));
    rogue.client.publish(ofA('event'), 'x'.repeat(70_000), { qos: 0 });
    await closed;
    await waitUntil(() => counts['brokerRefused'], 'the refusal to be told');
    expect(store.received).toEqual([]);
    const inner = `mqtt://127.0.0.1:${broker.innerPort}`;
    expect(await refusal(inner, { clientId: NAME_A })).toBe(5);
    expect(
      await refusal(inner, { clientId: 'girthlog-truck-2', username: 'store.truck', password: '' }),
    ).toBe(5);
  });
});

describe('the page', () => {
  it('speaks TLS 1.2 and newer, answers no plain HTTP, and asks no browser to insist on a certificate made here', async () => {
    const { http } = await startTlsTruck();
    const port = Number(new URL(http).port);
    expect(await handshake(port, 'TLSv1.1')).toBe('ERR_SSL_TLSV1_ALERT_PROTOCOL_VERSION');
    expect(await handshake(port, 'TLSv1.3')).toBe('TLSv1.3');
    expect(await answerTo(port, 'GET /livez HTTP/1.1\r\nhost: localhost\r\n\r\n')).not.toContain('200');
    expect(await insistence(http)).toBeUndefined();
  });

  it('with a certificate of one’s own and a host name asks browsers to insist', async () => {
    const dir = tempDir();
    const authority = await makeAuthority('Company', new Date());
    const { key, certificate } = await issueServer(authority, ['truck-1', '127.0.0.1'], new Date(), 90);
    const [keyFile, file] = [join(dir, 'truck.key'), join(dir, 'truck.pem')];
    writeFileSync(keyFile, key, { mode: 0o600 });
    writeFileSync(file, certificate + authority.certificate);
    const given = [`tls_certificate = "${file}"`, `tls_key = "${keyFile}"`, 'host_names = ["truck-1"]'];
    const { http } = await startTlsTruck(given);
    expect(await insistence(http)).toBe('max-age=31536000');
  });
});

function insistence(http: string): Promise<string | undefined> {
  return new Promise((resolve, reject) => {
    const asked = request(new URL('/livez', http), { rejectUnauthorized: false }, response => {
      response.resume();
      resolve(response.headers['strict-transport-security']);
    });
    asked.on('error', reject);
    asked.end();
  });
}
