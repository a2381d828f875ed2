/**
 * Training sessions, in a file of their own: they are personal data and must go for good when somebody says so. The
 * store of the welds is append-only, copied before each new layout and held by backups; none of that fits here. Deleted rows
 * are overwritten (secure_delete), and the rollback journal, which holds them for a moment, is removed by every commit.
 *
 * training.sqlite3, layout 1: sessions (id, created_at, state, kept: JSON of sessionSchema).
 */
import { closeSync, openSync } from 'node:fs';
import { join } from 'node:path';
import type SqliteDatabase from 'better-sqlite3';
import { EXIT, ProgramError } from '#core/program/program-error';
import { sessionSchema, type TrainingSession } from '#core/training/session';
import type { ReportEvent } from '../internal-events.ts';
import { setAside } from '../store/set-aside.ts';
import { type Prepare, prepareOnce } from '../store/statements.ts';

export interface TrainingStoreOptions {
  readonly directory: string;
  readonly sqlite: typeof SqliteDatabase;
  readonly report: ReportEvent;
  readonly now: () => Date;
}

export const TRAINING_FILE = 'training.sqlite3';
const LAYOUT = 1;
const DAMAGED = /^SQLITE_(CORRUPT|NOTADB|FORMAT)/;
/** Sessions of many years; beyond it someone should delete. */
const MOST = 5000;

export class TrainingStore {
  private readonly options: TrainingStoreOptions;
  private db: SqliteDatabase.Database | null = null;
  private prepare: Prepare | null = null;

  constructor(options: TrainingStoreOptions) {
    this.options = options;
  }

  open(): void {
    const { directory, report, now } = this.options;
    const file = join(directory, TRAINING_FILE);
    try {
      this.openFile(file);
    } catch (error) {
      if (!DAMAGED.test((error as { code?: string }).code ?? '')) throw error;
      const movedTo = setAside(file, now());
      report('trainingStoreQuarantined', { movedTo, reason: (error as Error).message });
      this.openFile(file);
    }
  }

  close(): void {
    this.db?.close();
    this.db = null;
    this.prepare = null;
  }

  /** Newest first. */
  sessions(): TrainingSession[] {
    const rows = this.sql('SELECT kept FROM sessions ORDER BY created_at DESC, id DESC LIMIT ?').all(MOST);
    return (rows as { kept: string }[]).map(({ kept }) => sessionSchema.parse(JSON.parse(kept)));
  }

  /** The one that is ready, running or frozen. */
  current(): TrainingSession | null {
    const row = this.sql(
      `SELECT kept FROM sessions WHERE state <> 'ended' ORDER BY created_at DESC LIMIT 1`,
    ).get();
    return row ? sessionSchema.parse(JSON.parse((row as { kept: string }).kept)) : null;
  }

  session(id: string): TrainingSession | null {
    const row = this.sql('SELECT kept FROM sessions WHERE id = ?').get(id) as { kept: string } | undefined;
    return row ? sessionSchema.parse(JSON.parse(row.kept)) : null;
  }

  save(session: TrainingSession): void {
    this.sql(
      `INSERT INTO sessions (id, created_at, state, kept) VALUES (?, ?, ?, ?)
       ON CONFLICT (id) DO UPDATE SET state = excluded.state, kept = excluded.kept`,
    ).run(session.id, session.createdAt, session.state, JSON.stringify(session));
  }

  remove(id: string): void {
    this.sql('DELETE FROM sessions WHERE id = ?').run(id);
  }

  private sql(text: string) {
    if (!this.prepare) throw new Error('the store of training is not open');
    return this.prepare(text);
  }

  private openFile(file: string): void {
    closeSync(openSync(file, 'a', 0o600));
    const db = new this.options.sqlite(file);
    try {
      db.pragma('journal_mode = DELETE');
      db.pragma('synchronous = EXTRA');
      db.pragma('secure_delete = ON');
      db.pragma('busy_timeout = 2000');
      db.pragma('trusted_schema = OFF');
      const found = db.pragma('user_version', { simple: true }) as number;
      if (found > LAYOUT) {
        throw new ProgramError(
          `${file} was written by a newer Girthlog (layout ${found}): use that version, or move the file away.`,
          EXIT.configuration,
        );
      }
      if (found === 0) {
        db.transaction(() => {
          db.exec(`
            CREATE TABLE sessions (
              id TEXT PRIMARY KEY,
              created_at TEXT NOT NULL,
              state TEXT NOT NULL,
              kept TEXT NOT NULL
            ) STRICT;
          `);
          db.pragma(`user_version = ${LAYOUT}`);
        })();
      }
      const [health] = db.pragma('quick_check(1)') as { quick_check: string }[];
      if (health?.quick_check !== 'ok')
        throw Object.assign(new Error(health?.quick_check), { code: 'SQLITE_CORRUPT' });
      this.db = db;
      this.prepare = prepareOnce(db);
    } catch (error) {
      db.close();
      throw error;
    }
  }
}
