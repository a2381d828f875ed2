/** A backup of a running dashboard, as a person or a timer makes it, and the truck going on from it. */
import { readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import type { Samples } from '#core/messages/api';
import type { System } from '#core/messages/api-lists';
import type { BackupManifest } from '../../dashboard/server/backup/backup-manifest.ts';
import { startDashboard } from '../support/dashboard-program.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { START_MS, STREAM, testChain } from '../support/test-records.ts';
import { verifyChain } from '../support/verify-chain.ts';
import { waitUntil } from '../support/wait-until.ts';

const RECORD = 'girthlog/1/spread-1/rig-a/record';
const ACK = 'girthlog/1/spread-1/rig-a/ack/truck';
const COUNT = 150;

async function run(...args: string[]) {
  const program = startProgram('girthlog-dashboard', args);
  const code = await program.exited;
  return { code, stdout: program.stdout(), stderr: program.stderr() };
}

describe('girthlog-dashboard backup and restore', () => {
  it('backs up while records come in, and the restored truck catches up to the same chain', async () => {
    const first = await startDashboard();
    const listens = async () => (await first.json<System>('/api/v1/system')).broker.connected;
    await waitUntil(listens, 'the dashboard to hear its broker');
    const edge = await mqttClient(first.mqtt, [ACK]);
    const records = testChain(COUNT);
    const sent = (async () => {
      for (const record of records) await edge.publish(RECORD, record);
    })();
    await edge.newest<{ upto: number }>(ACK, ack => ack.upto >= 20);
    const folder = tempDir();
    const file = join(folder, 'truck.tar.gz');
    const made = await run('backup', file, '--data', first.data, '--json');
    expect(made, made.stderr).toMatchObject({ code: 0, stderr: '' });
    const manifest = JSON.parse(made.stdout) as BackupManifest;
    await sent;
    const all = await edge.newest<{ upto: number; head: string }>(ACK, ack => ack.upto === COUNT);
    expect(manifest.streams[0]?.upto).toBeGreaterThanOrEqual(20);
    expect(manifest.leftOut).toContain('dashboard-key.pem');
    await first.stop();

    const into = join(folder, 'data');
    const restored = await run('restore', file, '--into', into);
    expect(restored).toMatchObject({ code: 0, stderr: '' });
    expect(restored.stdout).toContain(`${manifest.counts['records']} records of 1 streams`);

    const second = await startDashboard({ data: into });
    const states = (await second.json<System>('/api/v1/system')).streams;
    expect(states).toMatchObject([{ stream: STREAM, upto: manifest.streams[0]?.upto, waiting: 0 }]);
    // The edge sends again what came after the backup.
    const again = await mqttClient(second.mqtt, [ACK]);
    await waitUntil(
      async () => (await second.json<System>('/api/v1/system')).broker.connected,
      'the restored dashboard to hear its broker',
    );
    for (const record of records.slice(states[0]!.upto)) await again.publish(RECORD, record);
    const caughtUp = await again.newest<{ upto: number; head: string }>(ACK, ack => ack.upto === COUNT);
    expect(caughtUp.head).toBe(all.head);
    await second.stop();
    const db = new Sqlite(join(into, 'dashboard.sqlite3'), { readonly: true });
    const rows = db.prepare('SELECT seq, prev, hash, body FROM records ORDER BY seq').all();
    db.close();
    expect(rows).toHaveLength(COUNT);
    expect(verifyChain(STREAM, rows as never)).toBeNull();
  });

  it('says in one sentence what is wrong, with the exit code of its kind', async () => {
    const folder = tempDir();
    expect(await run('backup', join(folder, 'b.tar.gz'), '--data', folder)).toEqual({
      code: 4,
      stdout: '',
      stderr: `girthlog-dashboard: There is no store in ${folder}: name its directory with --data.\n`,
    });
    const none = join(folder, 'none.tar.gz');
    expect(await run('restore', none, '--into', join(folder, 'x'))).toEqual({
      code: 3,
      stdout: '',
      stderr: `girthlog-dashboard: There is no file ${none}.\n`,
    });
    expect((await run('restore', none)).code).toBe(2);
  });
});

describe('girthlog-dashboard with backup_folder', () => {
  it('makes a backup by itself that can be restored, and says when one fails', async () => {
    const folder = join(tempDir(), 'backups');
    const config = join(tempDir(), 'dashboard.toml');
    writeFileSync(config, `backup_folder = "${folder}"\n`);
    const dashboard = await startDashboard({ args: ['--config', config] });
    await waitUntil(async () => (await dashboard.counter('backupMade')) === 1, 'a backup');
    const [name] = readdirSync(folder);
    expect(name).toMatch(/^girthlog-truck-\d{8}T\d{6}Z\.tar\.gz$/);
    await dashboard.stop();
    const restored = await run('restore', join(folder, name!), '--into', join(folder, 'back'), '--json');
    expect(restored).toMatchObject({ code: 0, stderr: '' });

    writeFileSync(config, `backup_folder = "${join(config, 'under-a-file')}"\n`);
    const failing = await startDashboard({ args: ['--config', config] });
    await waitUntil(async () => (await failing.counter('backupFailed')) === 1, 'the failure to be counted');
    const { warnings } = await failing.json<{ warnings: string[] }>('/readyz');
    expect(warnings.filter(text => text.startsWith('The backup of the truck was not made'))).toHaveLength(1);
  });
});

describe('girthlog-dashboard prune', () => {
  it('says what would go, wants a backup that holds it, and lets it go beside a running dashboard', async () => {
    const dashboard = await startDashboard();
    await waitUntil(
      async () => (await dashboard.json<System>('/api/v1/system')).broker.connected,
      'the dashboard to hear its broker',
    );
    const edge = await mqttClient(dashboard.mqtt, [ACK]);
    for (const record of testChain(5)) await edge.publish(RECORD, record);
    await edge.newest<{ upto: number }>(ACK, ack => ack.upto === 5);
    const prune = (...more: string[]) =>
      run(
        'prune',
        '--before',
        '2026-06-01',
        '--unsealed',
        '--keep',
        'none',
        '--data',
        dashboard.data,
        ...more,
      );
    const plan = await prune();
    expect(plan).toMatchObject({ code: 0, stderr: '' });
    expect(plan.stdout).toMatch(/5 records with samples before .* Nothing was changed: --yes lets them go\./);
    expect((await prune('--yes')).code).toBe(2);
    const file = join(tempDir(), 'b.tar.gz');
    expect((await run('backup', file, '--data', dashboard.data)).code).toBe(0);
    const done = await prune('--yes', '--backup', file, '--json');
    expect(done.stderr).toBe('');
    expect(JSON.parse(done.stdout)).toMatchObject({ done: true, records: 5, keep: 'none' });
    const { streams } = await dashboard.json<System>('/api/v1/system');
    expect(streams).toMatchObject([{ upto: 5 }]);
    const range = `from=${START_MS * 1000}&to=${(START_MS + 10_000) * 1000}`;
    const samples = await dashboard.json<Samples>(`/api/v1/rigs/spread-1/rig-a/samples?${range}`);
    // Least and greatest of each second stay, and are said to be all there is.
    expect(samples.series[0]).toMatchObject({ min: Array(5).fill(200), max: Array(5).fill(206) });
    expect(samples.summarised).toEqual([{ fromUs: START_MS * 1000, toUs: START_MS * 1000 + 4_990_000 }]);
    expect(await prune()).toMatchObject({ code: 0, stdout: expect.stringContaining('Nothing before') });
    expect((await run('prune', '--before', 'long ago')).code).toBe(2);
  });
});
