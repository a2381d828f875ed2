/** What the keepers of the store ask of its file. */
import { statSync } from 'node:fs';
import type { Database } from 'better-sqlite3';
import type { Recorded } from '../health/write-pace.ts';
import { setAsideIn } from './set-aside.ts';
import type { Prepare } from './statements.ts';

const NEWEST = 200;

export class StoreHealth {
  private readonly db: Database;
  private readonly sql: Prepare;
  private readonly directory: string;

  constructor(db: Database, sql: Prepare, directory: string) {
    this.db = db;
    this.sql = sql;
    this.directory = directory;
  }

  /** Sizes of the file, with what still stands in its log only, and of that log; `reusableBytes` inside the file are written before it grows. */
  files(): { bytes: number; logBytes: number; reusableBytes: number } {
    const pageBytes = this.db.pragma('page_size', { simple: true }) as number;
    const freePages = this.db.pragma('freelist_count', { simple: true }) as number;
    return {
      bytes: (this.db.pragma('page_count', { simple: true }) as number) * pageBytes,
      logBytes: sizeOf(`${this.db.name}-wal`),
      reusableBytes: freePages * pageBytes,
    };
  }

  size(): { records: number; bytes: number } {
    return { records: this.lastId(), bytes: this.files().bytes };
  }

  recorded(): Recorded {
    const first = this.receivedAt(0);
    const { bytes, reusableBytes } = this.files();
    const records = this.lastId();
    return {
      bytesPerRecord: records === 0 ? 0 : Math.max((bytes - reusableBytes) / records, this.newestBytes()),
      records,
      firstMs: first?.received_ms ?? null,
      recordsAt: ms => this.recordsAt(ms),
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

  /** Mean of the newest records alone: older ones may have been let go of their samples. */
  private newestBytes(): number {
    const row = this.sql(
      `SELECT avg(length(body) + coalesce(length(data), 0)) AS bytes
       FROM (SELECT stream_id, seq, body FROM records ORDER BY id DESC LIMIT ${NEWEST}) AS newest
       LEFT JOIN chunks USING (stream_id, seq)`,
    ).get() as { bytes: number | null };
    return row.bytes ?? 0;
  }

  /** Ids grow in the order records came, so the moment is found by halving. */
  private recordsAt(ms: number): number {
    let low = 0;
    let high = this.lastId();
    while (low < high) {
      const middle = Math.floor((low + high) / 2);
      const row = this.receivedAt(middle);
      if (row && row.received_ms <= ms) low = row.id;
      else high = middle;
    }
    return low;
  }

  /** The first record after `id`. */
  private receivedAt(id: number): { id: number; received_ms: number } | null {
    const row = this.sql('SELECT id, received_ms FROM records WHERE id > ? ORDER BY id LIMIT 1').get(id);
    return (row as { id: number; received_ms: number } | undefined) ?? null;
  }

  /** Records are never deleted, so the highest id is their number. */
  private lastId(): number {
    return (this.sql('SELECT coalesce(max(id), 0) AS n FROM records').get() as { n: number }).n;
  }
}

function sizeOf(file: string): number {
  return statSync(file, { throwIfNoEntry: false })?.size ?? 0;
}
