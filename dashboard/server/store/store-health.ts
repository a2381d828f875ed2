/** What the keepers of the store ask of its file. */
import { statSync } from 'node:fs';
import type { Database } from 'better-sqlite3';
import { setAsideIn } from './set-aside.ts';
import type { Prepare } from './statements.ts';

export class StoreHealth {
  private readonly db: Database;
  private readonly sql: Prepare;
  private readonly directory: string;

  constructor(db: Database, sql: Prepare, directory: string) {
    this.db = db;
    this.sql = sql;
    this.directory = directory;
  }

  /** Sizes of the file and of the log beside it. */
  files(): { bytes: number; logBytes: number } {
    return { bytes: sizeOf(this.db.name), logBytes: sizeOf(`${this.db.name}-wal`) };
  }

  recorded(): { bytes: number; records: number; firstMs: number | null; recordsAt: (ms: number) => number } {
    const first = this.receivedAt(0);
    return {
      bytes: this.files().bytes,
      records: this.lastId(),
      firstMs: first && Date.parse(first.received_at),
      recordsAt: ms => this.recordsAt(new Date(ms).toISOString()),
    };
  }

  /** Writes the log into the file and empties it; false while a reader or a writer holds it. */
  truncateLog(): boolean {
    const waitMs = this.db.pragma('busy_timeout', { simple: true }) as number;
    // Whoever reads is not waited for: live messages would.
    this.db.pragma('busy_timeout = 0');
    try {
      const [result] = this.db.pragma('wal_checkpoint(TRUNCATE)') as { busy: number }[];
      return result?.busy === 0;
    } finally {
      this.db.pragma(`busy_timeout = ${waitMs}`);
    }
  }

  /** Damaged stores that were moved aside and still lie in the folder. */
  setAside(): string[] {
    return setAsideIn(this.directory);
  }

  /** Ids grow in the order records came, so the moment is found by halving. */
  private recordsAt(utc: string): number {
    let low = 0;
    let high = this.lastId();
    while (low < high) {
      const middle = Math.floor((low + high) / 2);
      const row = this.receivedAt(middle);
      if (row && row.received_at <= utc) low = row.id;
      else high = middle;
    }
    return low;
  }

  /** The first record after `id`. */
  private receivedAt(id: number): { id: number; received_at: string } | null {
    const row = this.sql('SELECT id, received_at FROM records WHERE id > ? ORDER BY id LIMIT 1').get(id);
    return (row as { id: number; received_at: string } | undefined) ?? null;
  }

  private lastId(): number {
    return (this.sql('SELECT coalesce(max(id), 0) AS n FROM records').get() as { n: number }).n;
  }
}

function sizeOf(file: string): number {
  return statSync(file, { throwIfNoEntry: false })?.size ?? 0;
}
