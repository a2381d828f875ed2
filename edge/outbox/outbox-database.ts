/** Opening the file of the outbox: pragmas, tables, file mode, the lock against a second edge. */
import { chmodSync, closeSync, existsSync, mkdirSync, openSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import Database from 'better-sqlite3';
import { StoreError } from './outbox-types.ts';

export type SqliteDatabase = Database.Database;

/** The first SQLite without the WAL-reset bug. */
const SQLITE_AT_LEAST = [3, 51, 3] as const;

/** Layouts of the store in order, each one step from the one before (docs/edge.md); a step once released stays. */
const LAYOUTS: readonly string[] = [
  `
  CREATE TABLE meta (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
  CREATE TABLE batch (
    seq INTEGER PRIMARY KEY,
    stream TEXT NOT NULL,
    prev TEXT NOT NULL,
    hash TEXT NOT NULL,
    body TEXT NOT NULL,
    closed_us INTEGER NOT NULL,
    closed_utc_ms INTEGER NOT NULL
  ) STRICT;
  CREATE TABLE cursor (store TEXT PRIMARY KEY, upto INTEGER NOT NULL, head TEXT NOT NULL) STRICT;
  CREATE TABLE state (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
`,
  // Batches whose samples gave way: what they were reduced to, and the hash of the body that is left.
  `
  ALTER TABLE batch ADD COLUMN reduced_to TEXT;
  ALTER TABLE batch ADD COLUMN body_hash TEXT;
`,
];
/** A newer layout is refused, never touched. */
export const STORE_VERSION = LAYOUTS.length;

export interface OpenedDatabase {
  readonly db: SqliteDatabase;
  readonly modeFixed: boolean;
}

/** Throws StoreError `unavailable` or `failed`, or the SqliteError of a damaged file. */
export function openDatabase(path: string, newStreamId: () => string): OpenedDatabase {
  const modeFixed = prepareFile(path);
  const db = new Database(path);
  try {
    db.pragma('busy_timeout = 2000');
    db.pragma('trusted_schema = OFF');
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('wal_autocheckpoint = 1000');
    db.pragma('journal_size_limit = 4194304');
    db.pragma('foreign_keys = ON');
    checkVersions(db, path);
    bringUpToDate(db, newStreamId);
    return { db, modeFixed };
  } catch (error) {
    db.close();
    throw error;
  }
}

/** In one transaction: a kill leaves the layout there was. */
function bringUpToDate(db: SqliteDatabase, newStreamId: () => string): void {
  const found = Number(db.pragma('user_version', { simple: true }));
  if (found === STORE_VERSION) return;
  db.transaction(() => {
    for (const layout of LAYOUTS.slice(found)) db.exec(layout);
    if (found === 0) {
      db.prepare('INSERT INTO meta (key, value) VALUES (?, ?)').run('stream', newStreamId());
    }
    db.pragma(`user_version = ${STORE_VERSION}`);
  })();
}

function checkVersions(db: SqliteDatabase, path: string): void {
  const sqlite = String(db.prepare('SELECT sqlite_version()').pluck().get());
  const parts = sqlite.split('.').map(Number);
  for (const [i, least] of SQLITE_AT_LEAST.entries()) {
    const part = parts[i] ?? 0;
    if (part > least) break;
    if (part < least) {
      const needed = SQLITE_AT_LEAST.join('.');
      throw new StoreError('unavailable', `SQLite ${sqlite} is too old for the store: ${needed} is needed`);
    }
  }
  const version = Number(db.pragma('user_version', { simple: true }));
  if (version > STORE_VERSION) {
    throw new StoreError(
      'unavailable',
      `the store ${path} was written by a newer girthlog-edge (layout ${version}, this one knows ${STORE_VERSION})`,
    );
  }
}

/** Makes folder and file, for this user only. True when an existing file was open to others. */
function prepareFile(path: string, store: string = path): boolean {
  try {
    mkdirSync(dirname(path), { recursive: true, mode: 0o700 });
    const existed = existsSync(path);
    // SQLite gives -wal and -shm the mode of the file itself.
    closeSync(openSync(path, 'a', 0o600));
    if (!existed || (statSync(path).mode & 0o077) === 0) return false;
    chmodSync(path, 0o600);
    return true;
  } catch (error) {
    throw new StoreError('unavailable', `the store ${store} cannot be written: ${reasonOf(error)}`);
  }
}

function reasonOf(error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === 'EACCES' || code === 'EPERM') return 'this user has no permission there';
  if (code === 'EROFS') return 'the file system is mounted read-only';
  if (code === 'ENOTDIR' || code === 'EISDIR' || code === 'EEXIST')
    return 'a folder and a file stand in each other’s place';
  if (code === 'ENOSPC') return 'the disk is full';
  return error instanceof Error ? error.message : String(error);
}

/**
 * Keeps a second edge off the store for as long as this process lives: a lock the operating system
 * drops with the process, so that a kill leaves nothing behind.
 */
export function lockStore(path: string): SqliteDatabase {
  const lockPath = `${path}.lock`;
  prepareFile(lockPath, path);
  const lock = new Database(lockPath, { timeout: 0 });
  try {
    lock.pragma('journal_mode = DELETE');
    lock.exec('BEGIN EXCLUSIVE');
    return lock;
  } catch (error) {
    lock.close();
    if (error instanceof Database.SqliteError && error.code.startsWith('SQLITE_BUSY')) {
      throw new StoreError('unavailable', `the store ${path} is in use by another girthlog-edge`);
    }
    throw error;
  }
}

/** How the shell has to react to what SQLite said. */
export function asStoreError(error: unknown): StoreError {
  if (error instanceof StoreError) return error;
  const message = error instanceof Error ? error.message : String(error);
  if (error instanceof Database.SqliteError) {
    if (error.code === 'SQLITE_FULL') return new StoreError('full', message);
    if (error.code.startsWith('SQLITE_BUSY') || error.code.startsWith('SQLITE_LOCKED')) {
      return new StoreError('full', `the store is locked by another program: ${message}`);
    }
    if (error.code.startsWith('SQLITE_READONLY') || error.code.startsWith('SQLITE_CANTOPEN')) {
      return new StoreError('unavailable', `the store cannot be written: ${message}`);
    }
    return new StoreError('failed', `${error.code}: ${message}`);
  }
  return new StoreError('failed', message);
}

/** True for what only a new file can cure. */
export function isDamage(error: unknown): boolean {
  return (
    error instanceof Database.SqliteError &&
    (error.code.startsWith('SQLITE_CORRUPT') ||
      error.code.startsWith('SQLITE_NOTADB') ||
      error.code.startsWith('SQLITE_FORMAT') ||
      // Tables or columns that are not ours.
      error.code === 'SQLITE_ERROR')
  );
}
