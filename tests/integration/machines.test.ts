/** Real programs over TLS: a board is enrolled, delivers, is revoked, records on, is enrolled again and delivers the rest. */
import { execFileSync, spawnSync } from 'node:child_process';
import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { AlarmPicture } from '#core/messages/api-alarm';
import type { System } from '#core/messages/api-lists';
import { startDevice, writeConfig } from '../support/edge-bench.ts';
import { listening } from '../support/listening.ts';
import { freePort, mosquittoMissing } from '../support/mosquitto.ts';
import { startMosquittoFiles } from '../support/mosquitto-files.ts';
import { DIST, startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { type MadeCode, startTlsTruck } from '../support/tls-truck.ts';
import { waitUntil } from '../support/wait-until.ts';

function edgeCommand(...args: string[]): { status: number; text: string } {
  try {
    const text = execFileSync(process.execPath, [join(DIST, 'girthlog-edge.js'), ...args], {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    return { status: 0, text };
  } catch (error) {
    const { status, stderr } = error as { status: number; stderr: string };
    return { status, text: stderr };
  }
}

describe('a board and a truck over TLS', () => {
  it('enrolled it delivers, revoked it records on, enrolled again it delivers the rest without a restart', async () => {
    const truck = await startTlsTruck();
    expect([truck.http, truck.mqtt]).toEqual([
      expect.stringMatching(/^https:\/\/127/),
      expect.stringMatching(/^mqtts:\/\/127/),
    ]);
    const dir = tempDir();
    const { url } = await startDevice();
    const config = writeConfig(dir, url, 'mqtt://127.0.0.1:9', '');
    const enrol = ({ code, fingerprint }: MadeCode) =>
      edgeCommand(
        ...['enrol', '--config', config, '--dashboard', truck.http],
        ...['--code', code, '--fingerprint', fingerprint, '--json'],
      );

    const first = truck.code();
    const false_ = enrol({ ...first, fingerprint: first.fingerprint.replaceAll(/[0-9A-F]/g, '0') });
    expect(false_.status).toBe(7);
    expect(false_.text).toContain('another fingerprint');
    const enrolled = enrol(first);
    expect(enrolled).toMatchObject({ status: 0 });
    const { folder, broker } = JSON.parse(enrolled.text) as { folder: string; broker: string };
    expect(broker).toBe(truck.mqtt);
    expect(readdirSync(folder).sort()).toEqual([
      'authority.pem',
      'certificate.pem',
      'enrolment.json',
      'key.pem',
    ]);
    for (const name of readdirSync(folder)) expect(statSync(join(folder, name)).mode & 0o777).toBe(0o400);
    expect(enrol(first)).toMatchObject({ status: 6, text: expect.stringContaining('works once') });
    expect(edgeCommand('config', 'show', '--config', config).text).toContain(`enrolment ${folder}`);

    const edge = startProgram('girthlog-edge', ['run', '--config', config]);
    await waitUntil(
      async () => (await truck.stored()) > 3,
      () => `records at the truck; the edge says ${edge.stderr().slice(-1500)}`,
      30_000,
    );
    // Page, broker, and the broker's door for the dashboard itself; an edge opens none.
    const own = listening(truck.child.pid!).map(({ port }) => port);
    expect(own).toHaveLength(3);
    for (const { port } of [new URL(truck.http), new URL(truck.mqtt)]) expect(own).toContain(Number(port));
    expect(listening(edge.child.pid!)).toEqual([]);
    expect(await truck.json('/api/v1/rigs/spread-1/rig-a/seal-keys')).toMatchObject({
      keys: [{ state: 'pinned', how: 'enrolled' }],
    });

    truck.command('revoke', 'spread-1/rig-a', '--reason', 'board stolen');
    await waitUntil(
      () => /does not authorise this edge: enrol it/.test(edge.stderr()),
      () => `the edge to say that it is refused: ${edge.stderr().slice(-1500)}`,
    );
    const alarm = await waitUntil(async () => {
      const { alarms } = await truck.json<AlarmPicture>('/api/v1/alarms');
      return alarms.find(({ cause }) => cause === 'machineTrouble');
    }, 'the alarm');
    expect(alarm).toMatchObject({ site: 'spread-1', rig: 'rig-a', priority: 'medium' });
    const taken = await truck.stored();
    const committed = (): number => [...edge.stderr().matchAll(/"event":"batchCommitted"/g)].length;
    const before = committed();
    await waitUntil(() => committed() > before, 'the edge to record on');
    expect(await truck.stored()).toBe(taken);

    expect(enrol(truck.code())).toMatchObject({ status: 0 });
    await waitUntil(async () => (await truck.stored()) > taken + 5, 'the rest at the truck', 30_000);
    const list = truck.command('machines');
    expect(list).toMatch(/spread-1\/rig-a +valid +certificate/);
    expect(list).toMatch(/spread-1\/rig-a +revoked +certificate.*board stolen/);
    expect(await edge.stop()).toBe(0);
    expect(await truck.stop()).toBe(0);
  });

  it('goes on with the truck that was restored on another computer from a backup with keys, and is not enrolled again', async () => {
    const truck = await startTlsTruck();
    const { url } = await startDevice();
    const config = writeConfig(tempDir(), url, 'mqtt://127.0.0.1:9', '');
    const { code, fingerprint } = truck.code();
    const asked = ['--code', code, '--fingerprint', fingerprint];
    expect(edgeCommand('enrol', '--config', config, '--dashboard', truck.http, ...asked).status).toBe(0);
    const edge = startProgram('girthlog-edge', ['run', '--config', config]);
    await waitUntil(async () => (await truck.stored()) > 3, 'records at the truck', 30_000);
    const folder = tempDir();
    const file = join(folder, 'truck.tar.gz');
    truck.command('backup', file, '--with-keys');
    expect(await truck.stop()).toBe(0);
    const data = join(folder, 'data');
    const restored = execFileSync(
      process.execPath,
      [join(DIST, 'girthlog-dashboard.js'), 'restore', file, '--into', data],
      { encoding: 'utf8' },
    );
    expect(restored).toContain('A board revoked since may connect again');
    const other = await startTlsTruck([], { data, mqtt: new URL(truck.mqtt).host });
    expect(other.mqtt).toBe(truck.mqtt);
    await waitUntil(
      async () => (await other.stored()) > 3,
      () => `records at the restored truck; the edge says ${edge.stderr().slice(-1500)}`,
      30_000,
    );
    expect(other.command('machines')).toMatch(/spread-1\/rig-a +valid +certificate/);
    expect(await edge.stop()).toBe(0);
    expect(await other.stop()).toBe(0);
  });

  it('a code made without naming the file of the running dashboard says its address and fingerprint all the same', async () => {
    const truck = await startTlsTruck();
    const made = truck.code();
    const beside = (data: string) =>
      spawnSync(
        process.execPath,
        [join(DIST, 'girthlog-dashboard.js'), 'enrol', 'spread-1/rig-a', '--data', data],
        { encoding: 'utf8' },
      );
    const found = beside(truck.data);
    expect(found).toMatchObject({ status: 0, stderr: '' });
    // The port was taken free at the start: it stands in no file of settings.
    expect(found.stdout).toContain(`--dashboard ${truck.http} --code `);
    expect(found.stdout).toContain(made.fingerprint);
    expect(await truck.stop()).toBe(0);
    const alone = beside(truck.data);
    expect(alone.status).toBe(0);
    expect(alone.stderr).toContain(`No dashboard runs on ${truck.data} now`);
    expect(alone.stdout).toContain('--dashboard http://127.0.0.1:8080 ');
  });

  it('another dashboard connects by the certificate it was given, until that is taken back', async () => {
    const truck = await startTlsTruck();
    const into = join(tempDir(), 'office');
    expect(truck.command('admit-store', 'office', '--into', into)).toContain('store = "office"');
    const office = await startTlsTruck([
      'store = "office"',
      `broker = "${truck.mqtt}"`,
      `broker_authority = "${join(into, 'authority.pem')}"`,
      `broker_certificate = "${join(into, 'store.pem')}"`,
      `broker_key = "${join(into, 'store.key')}"`,
    ]);
    const connected = async () => (await office.json<System>('/api/v1/system')).broker.connected;
    await waitUntil(connected, () => `the office to be connected: ${office.stderr().slice(-1500)}`);
    truck.command('revoke', 'store.office', '--reason', 'moved out');
    await waitUntil(async () => !(await connected()), 'the office to be out');
    expect(truck.command('machines')).toMatch(/store\.office +revoked +certificate.*moved out/);
  });

  it('an edge that was never enrolled is told what to do, and so is the truck', async () => {
    const truck = await startTlsTruck();
    const { url } = await startDevice();
    const dir = tempDir();
    const authority = join(truck.data, 'tls', 'authority.pem');
    const config = writeConfig(dir, url, truck.mqtt);
    const edge = startProgram('girthlog-edge', [
      ...['run', '--config', config, '--set', `broker.ca_file=${authority}`],
    ]);
    await waitUntil(() => /does not authorise this edge: enrol it/.test(edge.stderr()), 'the edge to say it');
    const alarm = await waitUntil(async () => {
      const { alarms } = await truck.json<AlarmPicture>('/api/v1/alarms');
      return alarms.find(({ cause }) => cause === 'machineTrouble');
    }, 'the alarm');
    expect(alarm).toMatchObject({ site: null, text: expect.stringContaining('girthlog/spread-1/rig-a') });
    const doctor = edgeCommand(
      'doctor',
      '--config',
      config,
      '--set',
      `broker.ca_file=${authority}`,
      '--json',
    );
    expect(doctor.status).toBe(3);
  });

  it('does not send its code over plain HTTP, nor to whom nobody has compared', async () => {
    const truck = await startTlsTruck();
    const config = writeConfig(tempDir(), 'tcp://127.0.0.1:9', 'mqtt://127.0.0.1:9');
    const { code } = truck.code();
    const plain = ['enrol', '--config', config, '--dashboard', 'http://truck-1:8080', '--code', code];
    expect(edgeCommand(...plain)).toMatchObject({ status: 2, text: expect.stringContaining('plain HTTP') });
    const unseen = edgeCommand('enrol', '--config', config, '--dashboard', truck.http, '--code', code);
    expect(unseen).toMatchObject({ status: 2, text: expect.stringContaining('Nothing was sent') });
  });
});

describe.skipIf(mosquittoMissing)('with Mosquitto in between', () => {
  it('the dashboard and an enrolled board meet at a broker that was given the written files', async () => {
    const port = await freePort();
    const broker = `mqtts://127.0.0.1:${port}`;
    const truck = await startTlsTruck([`broker = "${broker}"`]);
    const directory = tempDir();
    truck.command('broker-config', '--mosquitto', directory, '--listen', `127.0.0.1:${port}`);
    const mosquitto = await startMosquittoFiles(directory);
    const config = writeConfig(tempDir(), (await startDevice()).url, 'mqtt://127.0.0.1:9');
    const { code, fingerprint } = truck.code();
    const enrolled = edgeCommand(
      ...['enrol', '--config', config, '--dashboard', truck.http],
      ...['--code', code, '--fingerprint', fingerprint, '--json'],
    );
    expect(JSON.parse(enrolled.text)).toMatchObject({ broker });
    const edge = startProgram('girthlog-edge', ['run', '--config', config]);
    await waitUntil(
      async () => (await truck.stored()) > 3,
      () => `records at the truck; the edge says ${edge.stderr().slice(-1500)}`,
      30_000,
    );
    truck.command('revoke', 'spread-1/rig-a', '--reason', 'board stolen');
    truck.command('broker-config', '--mosquitto', directory, '--listen', `127.0.0.1:${port}`);
    await mosquitto.restart();
    await waitUntil(
      () => /"brokerRefused","reason":"[^"]*(revoked|alert number 44)/i.test(edge.stderr()),
      () => `the edge to be refused: ${edge.stderr().slice(-1500)}`,
      30_000,
    );
    expect(await edge.stop()).toBe(0);
  });
});
