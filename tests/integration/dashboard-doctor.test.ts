/** `girthlog-dashboard doctor` with each thing that can be wrong made wrong, and beside a dashboard that runs. */
import { chmodSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { type Finding, findingsExit } from '#core/program/finding';
import { certificateFinding } from '../../dashboard/server/commands/doctor-network.ts';
import { type DashboardProgram, startDashboard } from '../support/dashboard-program.ts';
import { freePort } from '../support/free-port.ts';
import { DIST, startCommand } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';

interface Said {
  readonly exit: number | string;
  /** Every sentence of a check, with its verdict. */
  readonly line: (check: string) => string;
}

async function doctor(config: string, asUser?: number): Promise<Said> {
  const args = [join(DIST, 'girthlog-dashboard.js'), 'doctor', '--config', config, '--json'];
  const program =
    asUser === undefined
      ? startCommand(process.execPath, args)
      : startCommand('setpriv', [
          ...['--reuid', `${asUser}`, '--regid', `${asUser}`, '--clear-groups', process.execPath],
          ...args,
        ]);
  const exit = await program.exited;
  expect(program.stderr()).toBe('');
  const findings = JSON.parse(program.stdout()) as Finding[];
  expect(exit).toBe(findingsExit(findings));
  const line = (check: string): string =>
    findings
      .filter(one => one.check === check)
      .map(({ verdict, text }) => `${verdict}: ${text}`)
      .join('\n');
  return { exit, line };
}

interface Truck {
  readonly config: string;
  readonly data: string;
  readonly ports: { readonly http: number; readonly mqtt: number };
  readonly start: () => Promise<DashboardProgram>;
}

async function truck(more = ''): Promise<Truck> {
  const folder = tempDir();
  const data = join(folder, 'data');
  const ports = { http: await freePort(), mqtt: await freePort() };
  const config = join(folder, 'dashboard.toml');
  writeFileSync(
    config,
    `data = "${data}"\nhttp = "127.0.0.1:${ports.http}"\nmqtt = "127.0.0.1:${ports.mqtt}"\n${more}`,
  );
  const start = () =>
    startDashboard({ data, mqtt: `127.0.0.1:${ports.mqtt}`, args: ['--http', `127.0.0.1:${ports.http}`] });
  return { config, data, ports, start };
}

/** Keeps a port as another program would. */
async function listenOn(port: number): Promise<void> {
  const server = createServer(socket => socket.destroy());
  await new Promise<void>(resolve => server.listen(port, '127.0.0.1', resolve));
  onTestFinished(() => void server.close());
}

describe('the dashboard’s doctor', () => {
  it('finds a running dashboard well, and one at rest', async () => {
    const { config, data, start } = await truck();
    const before = await doctor(config);
    expect(before.line('store')).toMatch(/^look: there is no store .* yet/);
    expect(before.line('page')).toMatch(/^ok: .* is free$/);
    expect(before.exit).toBe(0);
    const program = await start();
    const { line, exit } = await doctor(config);
    expect(line('store')).toMatch(
      new RegExp(`^ok: layout \\d+, 0 records .*open in process ${program.child.pid}$`),
    );
    expect(line('page')).toMatch(/^ok: answers on/);
    expect(line('broker')).toMatch(/^ok: takes connections/);
    expect(line('signing key')).toMatch(/^ok: /);
    expect(line('backup')).toMatch(/^look: none is made by the clock/);
    expect(exit).toBe(0);
    expect(await program.stop()).toBe(0);
    const after = await doctor(config);
    expect(after.line('store')).toMatch(/^ok: .*no dashboard has it open$/);
    expect(readFileSync(join(data, 'dashboard-key.pem'), 'utf8')).toContain('PRIVATE KEY');
  });

  it('ports that other programs have', async () => {
    const { config, ports } = await truck();
    await listenOn(ports.http);
    await listenOn(ports.mqtt);
    const { line, exit } = await doctor(config);
    expect(line('page')).toMatch(/^stop: another program listens/);
    expect(line('broker')).toMatch(/^look: another program listens .* no edge looks/);
    expect(exit).toBe(3);
  });

  it('an external broker that is not there, and files for it that are not', async () => {
    const gone = await truck('broker = "mqtt://127.0.0.1:1"\n');
    expect((await doctor(gone.config)).line('broker')).toMatch(/^stop: .*ECONNREFUSED/);
    const files = await truck('broker = "mqtts://127.0.0.1:1"\nbroker_authority = "/absent.pem"\n');
    expect((await doctor(files.config)).line('broker')).toMatch(/^stop: .*absent\.pem/);
    const cluster = await truck('broker = "mqtt://127.0.0.1:1,mqtt://127.0.0.1:2"\n');
    expect((await doctor(cluster.config)).line('broker')).toMatch(
      /^stop: mqtt:\/\/127\.0\.0\.1:1 .*ECONNREFUSED.*; mqtt:\/\/127\.0\.0\.1:2 .*nothing arrives/,
    );
  });

  it('a store that is damaged, of a newer layout, or moved aside; a key that others can read', async () => {
    const { config, data, start } = await truck();
    expect(await (await start()).stop()).toBe(0);
    const file = join(data, 'dashboard.sqlite3');
    chmodSync(join(data, 'dashboard-key.pem'), 0o644);
    writeFileSync(`${file}.damaged-20260512T080000000Z`, '');
    const open = await doctor(config);
    expect(open.line('signing key')).toMatch(/^stop: others can read/);
    expect(open.line('store')).toMatch(/look: 1 damaged stores lie beside it/);
    rmSync(join(data, 'dashboard-key.pem'));
    writeFileSync(join(data, 'dashboard-key.pem'), 'gone', { mode: 0o400 });
    expect((await doctor(config)).line('signing key')).toMatch(/^stop: .*holds no Ed25519 key/);
    const db = new Database(file);
    const layout = db.pragma('user_version', { simple: true }) as number;
    db.pragma('user_version = 999');
    expect((await doctor(config)).line('store')).toMatch(/^stop: .*newer Girthlog \(layout 999/);
    db.pragma(`user_version = ${layout - 1}`);
    expect((await doctor(config)).line('store')).toMatch(/^look: .*keeps a copy beside it/);
    db.close();
    const bytes = readFileSync(file);
    bytes.fill(0x55, 4096, 12_288);
    writeFileSync(file, bytes);
    expect((await doctor(config)).line('store')).toMatch(/^stop: .*is damaged/);
  });

  it('backups that were not made', async () => {
    const folder = join(tempDir(), 'backups');
    const { config } = await truck(`backup_folder = "${folder}"\n`);
    expect((await doctor(config)).line('backup')).toMatch(/^stop: .*cannot be read \(ENOENT\)/);
    mkdirSync(folder);
    expect((await doctor(config)).line('backup')).toMatch(/^look: there is none/);
    writeFileSync(join(folder, 'girthlog-truck-20260101T000000Z.tar.gz'), '');
    expect((await doctor(config)).line('backup')).toMatch(/^look: .*two should have been made since/);
    const today = new Date().toISOString().slice(0, 10).replaceAll('-', '');
    writeFileSync(join(folder, `girthlog-truck-${today}T000000Z.tar.gz`), '');
    expect((await doctor(config)).line('backup')).toMatch(/^ok: the newest is/);
  });

  it('a file that is wrong is one line that says where, and the end of it', async () => {
    const { config } = await truck('htp = "127.0.0.1:1"\n');
    const { line, exit } = await doctor(config);
    expect(line('configuration')).toMatch(/^stop: .*unknown key "htp"; did you mean "http"/);
    expect(exit).toBe(3);
  });

  it.skipIf(process.getuid?.() !== 0)('a user who may not is told to be the one of the service', async () => {
    const { config, data, start } = await truck();
    expect(await (await start()).stop()).toBe(0);
    for (const folder of [join(data, '..'), data]) chmodSync(folder, 0o755);
    chmodSync(join(data, 'dashboard.sqlite3'), 0o600);
    const { line, exit } = await doctor(config, 65_534);
    expect(line('store')).toMatch(/^stop: this user cannot open .*EACCES/);
    expect(line('signing key')).toMatch(/^stop: this user cannot read/);
    expect(line('writing')).toMatch(/^stop: .*may not write/);
    expect(exit).toBe(3);
  });
});

it.each([
  [-1, 'stop', 'refuse'],
  [29, 'look', 'in 29 days'],
  [31, 'ok', 'holds until'],
] as const)('a certificate with %s days left', (days, verdict, text) => {
  const now = Date.UTC(2026, 4, 12);
  const said = certificateFinding(now + days * 86_400_000, now);
  expect(said.verdict).toBe(verdict);
  expect(said.text).toContain(text);
});
