import { mkdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import { fillWithJoints } from '../../support/many-joints.ts';

/** A dashboard's store with `joints` joints of two passes each; its size, bytes. */
export function fillStore(data: string, joints: number): number {
  mkdirSync(data, { recursive: true });
  const store = new SqliteStore({ directory: data, sqlite: Sqlite, report: () => {}, now: () => new Date() });
  store.open();
  fillWithJoints(store, joints);
  store.close();
  return statSync(join(data, 'dashboard.sqlite3')).size;
}
