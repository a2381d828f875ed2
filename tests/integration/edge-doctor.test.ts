/** `girthlog-edge doctor` with each thing that can be wrong made wrong, and beside an edge that runs. */
import { createHash } from 'node:crypto';
import { chmodSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { type Finding, findingsExit } from '#core/program/finding';
import { startDevice, writeConfig } from '../support/edge-bench.ts';
import { mosquittoMissing, startMosquitto } from '../support/mosquitto.ts';
import { DIST, startCommand, startProgram } from '../support/programs.ts';
import { makePty, noSocat } from '../support/pty.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';

const NOWHERE = 'mqtt://127.0.0.1:1';
const EDGE = join(DIST, 'girthlog-edge.js');

interface Said {
  readonly exit: number | string;
  readonly of: (check: string) => Finding[];
  /** The worst verdict of a check with all its sentences. */
  readonly line: (check: string) => string;
}

async function doctor(config: string, asUser?: number): Promise<Said> {
  const args = [EDGE, 'doctor', '--config', config, '--json'];
  const other =
    asUser === undefined ? [] : ['--reuid', `${asUser}`, '--regid', `${asUser}`, '--clear-groups'];
  const program =
    asUser === undefined
      ? startCommand(process.execPath, args)
      : startCommand('setpriv', [...other, process.execPath, ...args]);
  const exit = await program.exited;
  expect(program.stderr()).toBe('');
  const findings = JSON.parse(program.stdout()) as Finding[];
  expect(exit).toBe(findingsExit(findings));
  const of = (check: string): Finding[] => findings.filter(one => one.check === check);
  const line = (check: string): string =>
    of(check)
      .map(({ verdict, text }) => `${verdict}: ${text}`)
      .join('\n');
  return { exit, of, line };
}

/** The store of an edge that ran until it had some batches; nothing took them over. */
async function restingEdge(broker = NOWHERE) {
  const dir = tempDir();
  const { device, url } = await startDevice();
  const config = writeConfig(dir, url, broker);
  const program = startProgram('girthlog-edge', ['run', '--config', config]);
  const store = join(dir, 'edge.db');
  await waitUntil(
    () => batchesIn(store) > 12,
    () => `batches: ${program.stderr()}`,
  );
  expect(await program.stop()).toBe(0);
  device.stop();
  return { dir, config, store };
}

function batchesIn(store: string): number {
  try {
    const db = new Database(store, { readonly: true, fileMustExist: true });
    const count = db.prepare('SELECT count(*) FROM batch').pluck().get() as number;
    db.close();
    return count;
  } catch {
    return 0;
  }
}

function filesOf(dir: string): string[] {
  return readdirSync(dir, { withFileTypes: true })
    .filter(entry => entry.isFile())
    .map(
      ({ name }) =>
        `${name} ${createHash('sha256')
          .update(readFileSync(join(dir, name)))
          .digest('hex')}`,
    )
    .sort();
}

function changeStore(store: string, sql: string): void {
  const db = new Database(store);
  db.exec(sql);
  db.close();
}

describe.skipIf(mosquittoMissing)('beside an edge that runs', () => {
  it('finds it well, names its process, and leaves what it has alone', async () => {
    const broker = await startMosquitto();
    const { url } = await startDevice();
    const config = writeConfig(tempDir(), url, broker.url);
    const edge = startProgram('girthlog-edge', ['run', '--config', config]);
    await waitUntil(
      () => edge.stderr().includes('brokerConnected'),
      () => edge.stderr(),
    );
    const { line, of } = await doctor(config);
    expect(line('store')).toMatch(
      new RegExp(`^ok: layout \\d+, .*open in the edge of process ${edge.child.pid}$`),
    );
    expect(line('source')).toBe(
      `ok: ${url.slice('tcp://'.length)} is left to the edge that runs (process ${edge.child.pid})`,
    );
    expect(line('broker')).toMatch(/^ok: .*lets this edge in$/);
    expect(line('seal key')).toMatch(/^ok: /);
    expect(line('writing')).toMatch(/^(ok|look): 20 small writes/);
    expect(of('configuration')[0]?.verdict).toBe('ok');
    expect(edge.stderr()).not.toContain('brokerLost');
    expect(await edge.stop()).toBe(0);
  });

  it('a broker that refuses the password is a stop, one that is not there is looked at', async () => {
    const broker = await startMosquitto(['allow_anonymous false']);
    const { config } = await restingEdge(broker.url);
    expect((await doctor(config)).line('broker')).toMatch(/^stop: .*refuses this edge/);
    await broker.kill();
    expect((await doctor(config)).line('broker')).toMatch(/^look: .*cannot be reached \(ECONNREFUSED\)/);
    // Of several addresses it names the one that is at fault.
    const other = await startMosquitto();
    writeFileSync(
      config,
      readFileSync(config, 'utf8').replace(`"${broker.url}"`, `"${other.url},${broker.url}"`),
    );
    expect((await doctor(config)).line('broker')).toMatch(
      new RegExp(`^look: ${broker.url} cannot be reached \\(ECONNREFUSED\\)`),
    );
    writeFileSync(
      config,
      readFileSync(config, 'utf8').replace('[store]', 'password_file = "absent"\n[store]'),
    );
    expect((await doctor(config)).line('broker')).toMatch(/^stop: .*absent cannot be read \(ENOENT\)/);
  });
});

describe('the store and its key', () => {
  it('a store at rest is well, what waits is said, and nothing in the folder changes', async () => {
    const { dir, config } = await restingEdge();
    const before = filesOf(dir);
    const { line, exit } = await doctor(config);
    expect(line('store')).toMatch(/^ok: layout \d+, \d+ batches .*no edge has it open$/);
    expect(line('delivery')).toMatch(/^look: \d+ batches wait for store "truck"/);
    expect(exit).toBe(0);
    // SQLite makes the index of its log for a reader; what is kept is untouched.
    const kept = (lines: string[]) => lines.filter(one => !/-(shm|wal) /.test(one));
    expect(kept(filesOf(dir))).toEqual(kept(before));
  });

  it('a changed record, a store of a newer layout, one that is no database', async () => {
    const { config, store } = await restingEdge();
    changeStore(store, `UPDATE batch SET body = replace(body, '"', '''') WHERE seq = 5`);
    expect((await doctor(config)).line('store')).toMatch(/^stop: .*damaged.*batch 5 does not match its hash/);
    changeStore(store, 'PRAGMA user_version = 99');
    expect((await doctor(config)).line('store')).toMatch(/^stop: .*newer girthlog-edge \(layout 99/);
    for (const side of ['-wal', '-shm']) rmSync(store + side, { force: true });
    writeFileSync(
      store,
      'not a database at all, though long enough to have had a header of a hundred bytes in it. '.repeat(9),
    );
    expect((await doctor(config)).line('store')).toMatch(/^stop: .*damaged \(SQLITE_NOTADB\)/);
  });

  it('an end that is missing, files that others can read, a damaged store beside it', async () => {
    const { config, store, dir } = await restingEdge();
    chmodSync(store, 0o644);
    writeFileSync(`${store}.quarantine-20260512T080000000Z`, '');
    const { line, exit } = await doctor(config);
    expect(line('store')).toMatch(/look: others can read .*chmod 600/);
    expect(line('store')).toMatch(/look: 1 damaged stores lie beside it/);
    expect(exit).toBe(0);
    chmodSync(`${store}.key`, 0o644);
    expect((await doctor(config)).line('seal key')).toMatch(/^stop: others can read/);
    rmSync(`${store}.key`);
    writeFileSync(`${store}.key`, 'gone', { mode: 0o400 });
    expect((await doctor(config)).line('seal key')).toMatch(/^stop: .*holds no Ed25519 key/);
    changeStore(store, 'DELETE FROM batch WHERE seq = (SELECT max(seq) FROM batch)');
    expect((await doctor(config)).line('store')).toMatch(/stop: .*had been committed/);
    rmSync(dir, { recursive: true });
  });

  it.skipIf(process.getuid?.() !== 0)('a user who may not is told to be the one of the service', async () => {
    const { config, store, dir } = await restingEdge();
    chmodSync(dir, 0o755);
    const nobody = 65_534;
    const { line, exit } = await doctor(config, nobody);
    expect(line('store')).toMatch(/^stop: this user cannot open .*user of the service/);
    expect(line('seal key')).toMatch(/^stop: this user cannot read/);
    expect(line('writing')).toMatch(/^stop: .*may not write there/);
    expect(exit).toBe(3);
    expect(batchesIn(store)).toBeGreaterThan(0);
  });

  it('a folder in memory', async () => {
    const dir = mkdtempSync('/dev/shm/girthlog-test-');
    onTestFinished(() => rmSync(dir, { recursive: true, force: true }));
    const config = writeConfig(dir, 'tcp://127.0.0.1:1', NOWHERE);
    const { line, exit } = await doctor(config);
    expect(line('file system')).toMatch(/^stop: .*lies in memory \(tmpfs\)/);
    expect(line('store')).toMatch(/^look: there is no store .* yet/);
    expect(exit).toBe(3);
  });

  it('a clock that says a time before the newest batch', async () => {
    const { config, store } = await restingEdge();
    changeStore(store, `UPDATE batch SET closed_utc_ms = ${Date.now() + 86_400_000}`);
    expect((await doctor(config)).line('clock')).toMatch(/^stop: the clock says .*set it/);
  });
});

describe('configuration and source', () => {
  it('a file that is wrong is one line that says where, and the end of it', async () => {
    const config = writeConfig(tempDir(), 'tcp://127.0.0.1:1', NOWHERE, '[engin]\n');
    const { line, exit } = await doctor(config);
    expect(line('configuration')).toMatch(/^stop: .*unknown key "engin"; did you mean "engine"/);
    expect(exit).toBe(3);
  });

  it('a device server that is not there, a recording that is not there', async () => {
    const dir = tempDir();
    expect((await doctor(writeConfig(dir, 'tcp://127.0.0.1:1', NOWHERE))).line('source')).toMatch(
      /^look: .*refuses/,
    );
    const { line } = await doctor(writeConfig(dir, `file://${dir}/absent.bin`, NOWHERE));
    expect(line('source')).toMatch(/^stop: .*is not there/);
  });

  it.skipIf(noSocat())('a port that is gone, and one that other programs hold', async () => {
    const pty = makePty();
    const config = writeConfig(tempDir(), `serial://${pty.path}`, NOWHERE);
    expect((await doctor(config)).line('source')).toMatch(/^stop: .*is not there: plug the device in/);
    await pty.plug();
    // What plays the device keeps its other end open: to the doctor a program that has the port.
    const held = /^stop: .*in use by socat \(process \d+\): end that program$/;
    expect((await doctor(config)).line('source')).toMatch(held);
    const edge = startProgram('girthlog-edge', ['run', '--config', config]);
    const other = writeConfig(tempDir(), `serial://${pty.path}`, NOWHERE);
    const { pid } = edge.child;
    await waitUntil(
      async () => (await doctor(other)).line('source').includes(`(process ${pid})`),
      () => `the lock of the edge: ${edge.stderr()}`,
    );
    expect((await doctor(config)).line('source')).toMatch(held);
    expect(await edge.stop()).toBe(0);
  });
});

it('ports are listed for people and for programs', async () => {
  const text = startProgram('girthlog-edge', ['ports']);
  const json = startProgram('girthlog-edge', ['ports', '--json']);
  const [exit] = await Promise.all([json.exited, text.exited]);
  const ports = JSON.parse(json.stdout()) as { path: string; hint: string }[];
  expect(exit).toBe(ports.length === 0 ? 4 : 0);
  for (const { path, hint } of ports) {
    expect(text.stdout()).toContain(path);
    expect(hint).not.toBe('');
  }
  if (ports.length === 0) expect(text.stdout()).toContain('No serial device');
});
