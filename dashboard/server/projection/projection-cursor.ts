import type { Database } from 'better-sqlite3';
import type { Turns } from './wall-turns.ts';

/** What points look like; a cursor of an earlier form begins anew, and its points are written over. */
const FORM = 2;

/** How far the projection has come, and what it could not take; a file of its own, so that it can be rebuilt. */
export class ProjectionCursor {
  private readonly db: Database;

  constructor(db: Database) {
    this.db = db;
    if (!db.readonly) db.pragma('journal_mode = WAL');
    if (db.readonly || db.pragma('user_version', { simple: true }) === FORM) return;
    db.transaction(() => {
      db.exec(`
        CREATE TABLE IF NOT EXISTS cursor (one INTEGER PRIMARY KEY CHECK (one = 1), record_id INTEGER NOT NULL) STRICT;
        CREATE TABLE IF NOT EXISTS rejected_points (
          n INTEGER PRIMARY KEY, record_id INTEGER NOT NULL, at TEXT NOT NULL, point TEXT NOT NULL, reason TEXT NOT NULL
        ) STRICT;
        CREATE TABLE turns (stream TEXT PRIMARY KEY, ends TEXT NOT NULL) STRICT;
        INSERT INTO cursor VALUES (1, 0) ON CONFLICT (one) DO UPDATE SET record_id = 0;
      `);
      db.pragma(`user_version = ${FORM}`);
    })();
  }

  /** Id of the last record that has been projected; 0 before the first. */
  get recordId(): number {
    return (this.db.prepare('SELECT record_id FROM cursor').get() as { record_id: number }).record_id;
  }

  turns(stream: string): Turns {
    const row = this.db.prepare('SELECT ends FROM turns WHERE stream = ?').get(stream);
    return row ? JSON.parse((row as { ends: string }).ends) : [];
  }

  advance(recordId: number, turns: ReadonlyMap<string, Turns> = new Map()): void {
    this.db.transaction(() => {
      this.db.prepare('UPDATE cursor SET record_id = ?').run(recordId);
      const put = this.db.prepare(
        'INSERT INTO turns VALUES (?, ?) ON CONFLICT (stream) DO UPDATE SET ends = excluded.ends',
      );
      for (const [stream, ends] of turns) put.run(stream, JSON.stringify(ends));
    })();
  }

  /** For records of another store: everything from the beginning. */
  restart(): void {
    this.db.transaction(() => {
      this.db.prepare('UPDATE cursor SET record_id = 0').run();
      this.db.prepare('DELETE FROM turns').run();
    })();
  }

  reject(recordId: number, at: string, point: string, reason: string): void {
    this.db
      .prepare('INSERT INTO rejected_points (record_id, at, point, reason) VALUES (?, ?, ?, ?)')
      .run(recordId, at, point, reason);
  }

  get rejected(): number {
    return (this.db.prepare('SELECT count(*) AS n FROM rejected_points').get() as { n: number }).n;
  }

  close(): void {
    this.db.close();
  }
}
