/** A backup of the dashboard's store and its way back, whole or not at all. */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { gunzipSync, gzipSync } from 'node:zlib';
import Sqlite from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import type { BackupManifest } from '../../dashboard/server/backup/backup-manifest.ts';
import { restoreBackup } from '../../dashboard/server/backup/restore-backup.ts';
import { TAR_BLOCK, tarHeader, tarPadding } from '../../dashboard/server/backup/tar-format.ts';
import { writeBackup } from '../../dashboard/server/backup/write-backup.ts';
import { tempDir } from '../support/temp-dir.ts';
import { START_MS, STREAM } from '../support/test-records.ts';
import { openDatabase, openStore } from '../support/test-store.ts';
import { verifyChain } from '../support/verify-chain.ts';
import { AT, chain } from './store/store-support.ts';

const backup = (data: string, file: string, withKeys = false, onCopied = () => {}) =>
  writeBackup({
    data,
    file,
    withKeys,
    sqlite: Sqlite,
    software: '0.1.0',
    now: () => new Date(START_MS),
    onProgress: step => step === 'copying' && onCopied(),
  });
const restore = (file: string, into: string) =>
  restoreBackup({ file, into, sqlite: Sqlite, onProgress: () => {} });

/** A store with records and a backup of it. */
async function backedUp() {
  const directory = tempDir();
  const data = join(directory, 'data');
  const store = openStore(data);
  store.commitRecords(chain(20), AT);
  store.addPerson({ id: 'p-1', name: 'A. Example', roles: ['inspector'] }, AT);
  const file = join(directory, 'truck.tar.gz');
  const manifest = await backup(data, file);
  return { directory, data, store, file, manifest };
}

/** An archive of any content, with a manifest that fits unless `change` says otherwise. */
function forged(
  members: Record<string, Buffer>,
  change: (manifest: Record<string, unknown>) => unknown = one => one,
) {
  const listed = Object.entries(members).map(([name, bytes]) => ({
    name,
    bytes: bytes.length,
    sha256: createHash('sha256').update(bytes).digest('hex'),
  }));
  const manifest = change({
    schema: 'girthlog.backup/1',
    at: AT,
    software: '0.1.0',
    layout: 1,
    members: listed,
    counts: {},
    streams: [],
    leftOut: [],
  });
  const blocks: Buffer[] = [];
  const add = (name: string, bytes: Buffer): void => {
    blocks.push(tarHeader({ name, bytes: bytes.length }, 0), bytes, Buffer.alloc(tarPadding(bytes.length)));
  };
  add('manifest.json', Buffer.from(JSON.stringify(manifest)));
  for (const [name, bytes] of Object.entries(members)) add(name, bytes);
  const sum = createHash('sha256').update(JSON.stringify(manifest)).digest('hex');
  add('manifest.sha256', Buffer.from(`${sum}  manifest.json\n`));
  blocks.push(Buffer.alloc(2 * TAR_BLOCK));
  return gzipSync(Buffer.concat(blocks));
}

describe('backup', () => {
  it('holds what was committed when it began, though records come in meanwhile, and the chain holds', async () => {
    const directory = tempDir();
    const data = join(directory, 'data');
    const store = openStore(data);
    const records = chain(400);
    store.commitRecords(records.slice(0, 300), AT);
    let next = 300;
    const file = join(directory, 'b.tar.gz');
    const { streams, counts } = await backup(data, file, false, () => {
      store.commitRecords(records.slice(next, ++next), AT);
    });
    expect(next).toBeGreaterThan(300);
    expect(streams).toMatchObject([{ stream: STREAM, first: 1, upto: 300, records: 300 }]);
    expect(streams[0]?.head).toBe(records[299]!.message.hash);
    expect(counts).toMatchObject({ records: 300, chunks: 300, streams: 1 });

    const into = join(directory, 'back');
    await restore(file, into);
    const rows = openDatabase(into).prepare('SELECT seq, prev, hash, body FROM records ORDER BY seq').all();
    expect(rows).toHaveLength(300);
    expect(verifyChain(STREAM, rows as never)).toBeNull();
    // It goes on where it stopped: what came after is taken as if it were new.
    const restored = openStore(into);
    expect(restored.streamStates()).toMatchObject([{ upto: 300, head: streams[0]?.head }]);
    expect(restored.commitRecords(records.slice(300), AT).streams[0]?.upto).toBe(400);
  });

  it('brings people and entries back to the last row, readable by their owner only', async () => {
    const { directory, file, manifest, store } = await backedUp();
    const into = join(directory, 'back');
    expect(statSync(file).mode & 0o777).toBe(0o600);
    expect(await restore(file, into)).toEqual((({ bytes: _, ...rest }) => rest)(manifest));
    expect(openStore(into).people()).toEqual(store.people());
    expect(statSync(join(into, 'dashboard.sqlite3')).mode & 0o777).toBe(0o600);
    expect(readdirSync(directory).sort()).toEqual(['back', 'data', 'truck.tar.gz']);
  });

  it('is a tar that any tar reads, with hashes any tool can check', async () => {
    const { file, manifest, directory } = await backedUp();
    const names = execFileSync('tar', ['tzf', file], { encoding: 'utf8' }).trim().split('\n');
    expect(names).toEqual(['manifest.json', ...manifest.members.map(({ name }) => name), 'manifest.sha256']);
    execFileSync('tar', ['xzf', file, '-C', directory]);
    expect(JSON.parse(readFileSync(join(directory, 'manifest.json'), 'utf8'))).toMatchObject({
      at: AT,
      software: '0.1.0',
    });
    const [sum] = execFileSync('sha256sum', [join(directory, 'dashboard.sqlite3')], {
      encoding: 'utf8',
    }).split(' ');
    expect(sum).toBe(manifest.members[0]?.sha256);
    execFileSync('sha256sum', ['-c', '--status', 'manifest.sha256'], { cwd: directory });
  });

  it('leaves keys out and says so; with them asked for, they come back', async () => {
    const { data, directory } = await backedUp();
    mkdirSync(join(data, 'keys'));
    writeFileSync(join(data, 'keys', 'truck.key'), 'secret');
    writeFileSync(join(data, 'keys', 'truck.crt'), 'public');
    writeFileSync(join(data, 'rig-info.json'), '[]');
    const without = await backup(data, join(directory, 'without.tar.gz'));
    const names = without.members.map(({ name }) => name);
    expect(names).toContain('keys/truck.crt');
    expect(names).toContain('rig-info.json');
    expect(names).not.toContain('keys/truck.key');
    expect(without.leftOut).toContain('keys/truck.key');
    await backup(data, join(directory, 'with.tar.gz'), true);
    const into = join(directory, 'back');
    await restore(join(directory, 'with.tar.gz'), into);
    expect(readFileSync(join(into, 'keys', 'truck.key'), 'utf8')).toBe('secret');
  });

  it('never overwrites a backup, and backs up no damaged store', async () => {
    const { data, file, store, directory } = await backedUp();
    await expect(backup(data, file)).rejects.toMatchObject({ exitCode: 3, message: /exists already/ });
    store.close();
    const database = join(data, 'dashboard.sqlite3');
    const bytes = readFileSync(database);
    // A page of the middle, overwritten: https://www.sqlite.org/fileformat2.html, b-tree page header.
    bytes.fill(0xff, 4096 * 8, 4096 * 12);
    writeFileSync(database, bytes);
    const other = join(directory, 'other.tar.gz');
    await expect(backup(data, other)).rejects.toMatchObject({
      exitCode: 8,
      message: /is damaged and was not backed up/,
    });
    expect(readdirSync(directory).sort()).toEqual(['data', 'truck.tar.gz']);
    await expect(backup(directory, other)).rejects.toMatchObject({ exitCode: 4 });
  });
});

describe('restore', () => {
  /** Refused with `exitCode` and one sentence, and nothing left. */
  async function refused(content: Buffer, exitCode: number, why: RegExp) {
    const directory = tempDir();
    const file = join(directory, 'bad.tar.gz');
    writeFileSync(file, content);
    const into = join(directory, 'into');
    await expect(restore(file, into)).rejects.toMatchObject({ exitCode, message: why });
    expect(readdirSync(directory)).toEqual(['bad.tar.gz']);
  }

  it('takes no backup that was cut off, wherever', async () => {
    const { file } = await backedUp();
    const content = readFileSync(file);
    for (const part of [0.01, 0.5, 0.9, 0.999]) {
      await refused(content.subarray(0, Math.floor(content.length * part)), 8, /ends too early/);
    }
  });

  it('takes no backup with a byte changed, wherever', async () => {
    const { file } = await backedUp();
    const plain = gunzipSync(readFileSync(file));
    for (const at of [100, 600, 3000, 10_000, Math.floor(plain.length / 2), plain.length - 2000]) {
      const changed = Buffer.from(plain);
      changed[at]! ^= 0x10;
      const directory = tempDir();
      const bad = join(directory, 'bad.tar.gz');
      writeFileSync(bad, gzipSync(changed));
      const outcome = await restore(bad, join(directory, 'into')).then(
        () => 'restored',
        (error: { exitCode?: number }) => error.exitCode,
      );
      expect([3, 8], `byte ${at}`).toContain(outcome);
    }
  });

  it('takes no file of another kind', async () => {
    await refused(Buffer.from('a letter'), 3, /is not a backup/);
    await refused(gzipSync(Buffer.alloc(4096, 'x')), 3, /is not a backup/);
    await refused(
      forged({ 'dashboard.sqlite3': Buffer.from('x') }, () => ({ schema: 'else/1' })),
      3,
      /is not a backup/,
    );
    await expect(restore(join(tempDir(), 'none'), tempDir())).rejects.toMatchObject({ exitCode: 3 });
  });

  it('takes no backup of a newer version', async () => {
    const members = { 'dashboard.sqlite3': Buffer.from('x') };
    await refused(
      forged(members, one => ({ ...one, layout: 999 })),
      3,
      /newer Girthlog \(layout 999\)/,
    );
    await refused(
      forged(members, one => ({ ...one, schema: 'girthlog.backup/2' })),
      3,
      /newer Girthlog/,
    );
  });

  it('writes nowhere but into its folder, whatever names a backup holds', async () => {
    const database = Buffer.from('x');
    for (const name of [
      '../out',
      '/tmp/out',
      'a/../../out',
      '.hidden',
      'a\\..\\out',
      'a/b/c',
      'manifest.json',
    ]) {
      await refused(
        forged({ 'dashboard.sqlite3': database, [name]: Buffer.from('out') }),
        8,
        /manifest does not fit/,
      );
    }
    // A link in place of a file: type flag 2 of the header.
    const link = gunzipSync(forged({ 'dashboard.sqlite3': database }));
    const at = link.indexOf('dashboard.sqlite3\0');
    link[at + 156] = '2'.charCodeAt(0);
    await refused(gzipSync(link), 8, /is damaged/);
  });

  it('believes no database that does not hold what the manifest says', async () => {
    await refused(
      forged({ 'dashboard.sqlite3': Buffer.from('x'.repeat(4096)) }),
      8,
      /database cannot be read/,
    );
    const { data, store } = await backedUp();
    store.close();
    const db = openDatabase(data);
    db.pragma('journal_mode = DELETE');
    db.close();
    const content = readFileSync(join(data, 'dashboard.sqlite3'));
    await refused(forged({ 'dashboard.sqlite3': content }), 8, /does not hold what the manifest says/);
  });

  it('refuses more bytes than the disk has room for before it writes them', async () => {
    const huge = (manifest: Record<string, unknown>) => ({
      ...manifest,
      members: (manifest['members'] as BackupManifest['members']).map(one => ({ ...one, bytes: 2 ** 50 })),
    });
    await refused(forged({ 'dashboard.sqlite3': Buffer.from('x') }, huge), 3, /has less free/);
  });

  it('touches no folder that holds something, and goes on after one that was cut off', async () => {
    const { file, directory } = await backedUp();
    const into = join(directory, 'back');
    mkdirSync(into);
    writeFileSync(join(into, 'mine'), 'mine');
    await expect(restore(file, into)).rejects.toMatchObject({ exitCode: 3, message: /is not empty/ });
    expect(readFileSync(join(into, 'mine'), 'utf8')).toBe('mine');
    expect(existsSync(join(into, 'dashboard.sqlite3'))).toBe(false);

    const again = join(directory, 'again');
    mkdirSync(join(again, 'restore-in-progress'), { recursive: true });
    writeFileSync(join(again, 'restore-in-progress', 'dashboard.sqlite3'), 'half');
    truncateSync(join(again, 'restore-in-progress', 'dashboard.sqlite3'), 2);
    await restore(file, again);
    expect(readdirSync(again)).toContain('dashboard.sqlite3');
    expect(readdirSync(again)).not.toContain('restore-in-progress');
  });
});
