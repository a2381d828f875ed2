/** What lies beside the store when it is backed up: small files that change meanwhile, very many of them, the list of machines. */
import { mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { restoreBackup } from '../../dashboard/server/backup/restore-backup.ts';
import { writeBackup } from '../../dashboard/server/backup/write-backup.ts';
import { MachineTable } from '../../dashboard/server/machines/machine-table.ts';
import { tempDir } from '../support/temp-dir.ts';
import { START_MS } from '../support/test-records.ts';
import { openStore } from '../support/test-store.ts';
import { AT, chain } from './store/store-support.ts';

const backup = (data: string, file: string, withKeys = false) =>
  writeBackup({
    ...{ data, file, withKeys, sqlite: Sqlite, software: '0.1.0' },
    now: () => new Date(START_MS),
    onProgress: () => {},
  });
const restore = (file: string, into: string) =>
  restoreBackup({ file, into, sqlite: Sqlite, onProgress: () => {} });

/** A store with records. */
function filled() {
  const directory = tempDir();
  const data = join(directory, 'data');
  openStore(data).commitRecords(chain(20), AT);
  return { directory, data };
}

describe('a backup of what lies beside the store', () => {
  it('is whole though a small file beside the store is written anew, or goes, while it is made', async () => {
    const { data, directory } = filled();
    const info = join(data, 'rig-info.json');
    const gone = join(data, 'gone.pub');
    const file = join(directory, 'b.tar.gz');
    let looks = 0;
    for (const when of ['copying', 'packing'] as const) {
      writeFileSync(info, '[]');
      writeFileSync(gone, 'public');
      await writeBackup({
        ...{ data, file: `${file}.${when}`, withKeys: false, sqlite: Sqlite, software: '0.1.0' },
        now: () => new Date(START_MS),
        onProgress: step => {
          if (step !== when) return;
          looks++;
          writeFileSync(info, '[{"site":"spread-1"}]');
          rmSync(gone, { force: true });
        },
      });
      await restore(`${file}.${when}`, join(directory, when));
      expect(JSON.parse(readFileSync(join(directory, when, 'rig-info.json'), 'utf8')), when).toBeInstanceOf(
        Array,
      );
    }
    expect(looks).toBeGreaterThan(1);
  });

  it('can be restored though very many other files lie beside the store', async () => {
    const { data, directory } = filled();
    mkdirSync(join(data, 'others'));
    for (let i = 0; i < 1100; i++) writeFileSync(join(data, 'others', `note-${i}.txt`), 'mine');
    const file = join(directory, 'many.tar.gz');
    const { leftOut } = await backup(data, file);
    expect(leftOut.length).toBeGreaterThan(900);
    await restore(file, join(directory, 'back'));
    // Nor with keys, when all of them would go in.
    const all = join(directory, 'all.tar.gz');
    const { members } = await backup(data, all, true);
    expect(members.map(({ name }) => name)).toContain('dashboard-key.pem');
    await restore(all, join(directory, 'all'));
  });

  it('holds who may connect and who was revoked, with or without keys, and no one-time code', async () => {
    const { data, directory } = filled();
    const table = new MachineTable(Sqlite, data);
    const rig = (name: string) => ({ site: 'spread-1', rig: name });
    const board = (name: string, kind: 'secret' | 'certificate') =>
      table.add({ ...rig(name), kind, proof: `proof of ${name}`, sealPublicKey: 'ab', at: AT, endsAt: null });
    board('rig-a', 'certificate');
    board('rig-b', 'secret');
    table.revoke(rig('rig-b'), { at: AT, by: 'console', reason: 'stolen' });
    table.addCode('hash of a code', rig('rig-c'), AT, 'console', '2027-01-01T00:00:00.000Z');
    // A command has the list open and writes: what it has not committed is not in it.
    const busy = new Sqlite(join(data, 'machines.sqlite3'));
    busy.exec(`BEGIN; UPDATE machines SET reason = 'half'`);
    const { leftOut, members } = await backup(data, join(directory, 'machines.tar.gz'));
    busy.exec('ROLLBACK');
    busy.close();
    expect(members.map(({ name }) => name)).toContain('machines.sqlite3');
    expect(leftOut).not.toContain('machines.sqlite3');
    const into = join(directory, 'back');
    await restore(join(directory, 'machines.tar.gz'), into);
    expect(statSync(join(into, 'machines.sqlite3')).mode & 0o777).toBe(0o600);
    expect(readFileSync(join(into, 'machines.sqlite3')).includes('hash of a code')).toBe(false);
    const restored = new MachineTable(Sqlite, into);
    expect(restored.all()).toEqual(table.all());
    expect(restored.credentials()).toEqual([
      { kind: 'certificate', identity: 'spread-1/rig-a', serial: 'proof of rig-a' },
    ]);
    table.close();
    restored.close();
  });

  it('is made although the list of machines cannot be read, and says that it is not in it', async () => {
    const { data, directory } = filled();
    writeFileSync(join(data, 'machines.sqlite3'), 'no database at all '.repeat(500));
    const { leftOut, members } = await backup(data, join(directory, 'b.tar.gz'));
    expect(leftOut).toContain('machines.sqlite3 (cannot be read)');
    expect(members.map(({ name }) => name)).not.toContain('machines.sqlite3');
    await restore(join(directory, 'b.tar.gz'), join(directory, 'back'));
  });
});
