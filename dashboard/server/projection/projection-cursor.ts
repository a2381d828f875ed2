import type { Database } from 'better-sqlite3';

/** How far the projection has come, and what it could not take; a file of its own, so that it can be rebuilt. */
export class ProjectionCursor {
  private readonly db: Database;

  constructor(db: Database) {
    this.db = db;
    db.pragma('journal_mode = WAL');
    db.exec(`
      CREATE TABLE IF NOT EXISTS cursor (one INTEGER PRIMARY KEY CHECK (one = 1), record_id INTEGER NOT NULL) STRICT;
      CREATE TABLE IF NOT EXISTS rejected_points (
        n INTEGER PRIMARY KEY, record_id INTEGER NOT NULL, at TEXT NOT NULL, point TEXT NOT NULL, reason TEXT NOT NULL
      ) STRICT;
      INSERT OR IGNORE INTO cursor VALUES (1, 0);
    `);
  }

  /** Id of the last record that has been projected; 0 before the first. */
  get recordId(): number {
    return (this.db.prepare('SELECT record_id FROM cursor').get() as { record_id: number }).record_id;
  }

  advance(recordId: number): void {
    this.db.prepare('UPDATE cursor SET record_id = ?').run(recordId);
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
