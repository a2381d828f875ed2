/** What a store's file says it holds; asked of a snapshot when it is made and of the file that comes back. */
import type { Database } from 'better-sqlite3';
import type { BackupManifest } from './backup-manifest.ts';

export interface StoreFacts {
  readonly layout: number;
  readonly counts: BackupManifest['counts'];
  readonly streams: BackupManifest['streams'];
}

/** Throws SqliteError where the file is no store or cannot be read. */
export function storeFacts(db: Database): StoreFacts {
  const layout = db.pragma('user_version', { simple: true }) as number;
  const tables = db
    .prepare(`SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%' ORDER BY name`)
    .pluck()
    .all() as string[];
  const counts: Record<string, number> = {};
  for (const table of tables) {
    const quoted = `"${table.replaceAll('"', '""')}"`;
    counts[table] = db.prepare(`SELECT count(*) FROM ${quoted}`).pluck().get() as number;
  }
  const streams = db
    .prepare(
      `SELECT site, rig, stream, origin, first_seq AS first, upto, head,
         (SELECT count(*) FROM records WHERE stream_id = streams.id) AS records
       FROM streams ORDER BY id`,
    )
    .all() as BackupManifest['streams'];
  return { layout, counts, streams };
}
