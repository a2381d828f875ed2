/**
 * The list of machines as it is at one moment, for a backup: who may connect, who was replaced or revoked, when and why.
 * It holds no key, only serial numbers and hashes of secrets too long to be guessed. One-time codes stay out: they are
 * short, and worth nothing by the time anybody restores.
 */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { MACHINES_FILE } from '../machines/machine-table.ts';
import type { Sqlite } from '../store/sqlite-store.ts';
import type { SideFile } from './side-files.ts';

/** Null where nothing was ever enrolled. Throws SqliteError where the list cannot be read. */
export function machinesCopy(sqlite: Sqlite, data: string): SideFile | null {
  const file = join(data, MACHINES_FILE);
  if (!existsSync(file)) return null;
  const list = sqlite(file, { readonly: true, fileMustExist: true });
  let copy: InstanceType<Sqlite> | null = null;
  try {
    list.pragma('busy_timeout = 5000');
    // Whether it can be read is asked first: what is no database says so here.
    list.prepare('SELECT count(*) FROM machines').get();
    copy = new sqlite(list.serialize());
    copy.exec('DELETE FROM codes; VACUUM');
    return { name: MACHINES_FILE, content: copy.serialize() };
  } finally {
    copy?.close();
    list.close();
  }
}
