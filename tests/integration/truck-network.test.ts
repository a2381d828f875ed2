/** The truck's side of the network while it runs: certificates made again, the list of machines changed beside it. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { connect as connectTls } from 'node:tls';
import { pathToFileURL } from 'node:url';
import Sqlite from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { Stated, TruckCause } from '../../dashboard/server/health/truck-conditions.ts';
import { issueServer, makeAuthority } from '../../dashboard/server/machines/certificate-authority.ts';
import { EnrolmentDesk } from '../../dashboard/server/machines/enrolment-desk.ts';
import { MachineTable } from '../../dashboard/server/machines/machine-table.ts';
import { TruckNetwork } from '../../dashboard/server/machines/truck-network.ts';
import { settingsSchema } from '../../dashboard/server/settings.ts';
import { boardKeys } from '../support/enrolled-truck.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { DIST } from '../support/programs.ts';
import { recordedEvents } from '../support/recorded-events.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';

const DAY_MS = 86_400_000;
const RIG_A = { site: 'spread-1', rig: 'rig-a' };

async function openNetwork(more: Record<string, unknown> = {}) {
  const data = tempDir();
  const { report, counts } = recordedEvents();
  const conditions = new Map<TruckCause, Stated | null>();
  let nowMs = Date.now();
  const network = new TruckNetwork({
    settings: settingsSchema.parse({ data, mqtt: '127.0.0.1:0', machines: 'enrolled', ...more }),
    sqlite: Sqlite,
    report,
    set: (cause, stated) => void conditions.set(cause, stated),
    now: () => new Date(nowMs),
    brokerProgram: pathToFileURL(join(DIST, 'broker.js')),
  });
  onTestFinished(() => network.stop());
  await network.open();
  const reached = await network.reachBroker();
  const pass = (days: number): void => {
    nowMs += days * DAY_MS;
  };
  return { data, network, reached, counts, conditions, pass };
}

/** Serial number of what the broker shows to a new connection. */
function shownBy(url: string): Promise<string> {
  return new Promise((resolve, reject) => {
    const { hostname, port } = new URL(url);
    const socket = connectTls({ host: hostname, port: Number(port), rejectUnauthorized: false }, () => {
      resolve(socket.getPeerCertificate().serialNumber);
      socket.destroy();
    });
    socket.on('error', reject);
  });
}

describe('the truck’s network', () => {
  it('shows a new certificate before the old one ends, to new connections, and keeps those it has', async () => {
    const { network, reached, counts, pass } = await openNetwork({ tls: 'on' });
    const renewed: string[] = [];
    network.onRenewed = ({ certificate }) => renewed.push(certificate);
    const store = await mqttClient(reached.url, [], {
      ...reached.credentials,
      clientId: 'girthlog-truck-test',
    });
    const before = await shownBy(reached.shown);
    pass(30);
    await network.renew();
    expect(renewed).toEqual([]);
    pass(31);
    await network.renew();
    expect(renewed).toEqual([network.serverTls?.certificate]);
    await waitUntil(async () => (await shownBy(reached.shown)) !== before, 'the new certificate');
    expect(store.client.connected).toBe(true);
    expect(counts).toMatchObject({ certificateRenewed: 1 });
  });

  it('says in time that a given certificate ends, takes the one that is put in its place, and survives none', async () => {
    const dir = tempDir();
    const [file, keyFile] = [join(dir, 'truck.pem'), join(dir, 'truck.key')];
    const authority = await makeAuthority('Company', new Date());
    const put = async (days: number): Promise<void> => {
      const { key, certificate } = await issueServer(authority, ['127.0.0.1'], new Date(), days);
      writeFileSync(file, certificate);
      writeFileSync(keyFile, key);
    };
    await put(5);
    const given = { tls: 'on', tlsCertificate: file, tlsKey: keyFile };
    const { network, reached, conditions, counts } = await openNetwork(given);
    expect(conditions.get('certificateEnds')).toMatchObject({ priority: 'high' });
    const before = await shownBy(reached.shown);
    writeFileSync(file, 'nothing');
    await network.renew();
    expect(counts).toMatchObject({ certificateFailed: 1 });
    expect(await shownBy(reached.shown)).toBe(before);
    await put(300);
    await network.renew();
    expect(conditions.get('certificateEnds')).toBeNull();
    await waitUntil(async () => (await shownBy(reached.shown)) !== before, 'the new certificate');
  });

  it('takes up what a command beside it has entered, in both directions, without being asked', async () => {
    const { data, reached } = await openNetwork();
    // As the commands do: another connection to the same file.
    const table = new MachineTable(Sqlite, data);
    onTestFinished(() => table.close());
    const now = () => new Date();
    const desk = new EnrolmentDesk({
      table: () => table,
      now,
      report: () => {},
      store: 'truck',
      onChange: () => {},
    });
    const terms = { broker: { scheme: 'mqtt', port: 1883 } as const, tls: null };
    const { code } = desk.makeCode(RIG_A, 'test');
    const { credential } = await desk.enrol(boardKeys(RIG_A).with(code), terms, () => {});
    if (credential.kind !== 'secret') throw new Error('no secret');
    const edge = await mqttClient(reached.shown, [], {
      ...{ username: credential.username, password: credential.secret },
      clientId: 'girthlog/spread-1/rig-a',
    });
    const closed = new Promise<void>(resolve => edge.client.once('close', () => resolve()));
    desk.revoke(RIG_A, 'test', 'stolen');
    await closed;
  });
});
