/** Brings a store's file to the present layout: a copy first, then one step a transaction. */
import { closeSync, existsSync, openSync, renameSync, rmSync, statfsSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import type { Database } from 'better-sqlite3';
import { EXIT, ProgramError } from '#core/program/program-error';
import { LAYOUT, MIGRATIONS } from './migrations.ts';
import { PACKED_HASH_STEP } from './packed-hash-step.ts';
import { codeOf, storeErrorKind } from './store-errors.ts';

export class NewerLayoutError extends Error {
  readonly found: number;

  constructor(found: number) {
    super(`store layout ${found} is newer than ${LAYOUT}`);
    this.found = found;
  }
}

/** Left to others on the disk, and to what a step writes beside what it writes anew. */
const SPARE_BYTES = 16 * 1024 * 1024;

/**
 * Brings the file to LAYOUT (or an older one, for a test that needs it). Returns the steps taken. Throws
 * NewerLayoutError, or ProgramError when there is no room for it or a step fails: the file is then as it was after the
 * last whole step. `freeBytes`: of the file's disk; null where it does not say.
 */
export function migrate(
  database: Database,
  file: string,
  layout: number = LAYOUT,
  freeBytes: () => number | null = () => freeBeside(file),
): number {
  const found = database.pragma('user_version', { simple: true }) as number;
  if (found > LAYOUT) throw new NewerLayoutError(found);
  if (found >= layout) return 0;
  const copy = `${file}.layout-${found}`;
  try {
    if (found > 0) {
      const isCopied = existsSync(copy) && isCopyOf(database, copy);
      requireRoom(database, file, MIGRATIONS.slice(found, layout), isCopied, freeBytes());
      if (!isCopied) keepCopy(database, copy);
    }
    for (let step = found; step < layout; step++) {
      database.transaction(() => {
        database.exec(MIGRATIONS[step]!);
        database.pragma(`user_version = ${step + 1}`);
      })();
    }
  } catch (error) {
    // Damage is for whoever moves the file aside; a full disk or a step that does not fit is for a person.
    if (found === 0 || error instanceof ProgramError || storeErrorKind(error) === 'broken') throw error;
    throw new ProgramError(
      `The store ${file} could not be brought from layout ${found} to ${layout} (${codeOf(error)}: ` +
        `${(error as Error).message}): nothing of it was lost, and the version before still opens ${basename(copy)}, ` +
        `where it was made. See that ${dirname(file)} has room for three times the store.`,
      EXIT.configuration,
    );
  }
  return layout - found;
}

/** Before anything is written: a disk that fills up half way would stop the version before, too. */
function requireRoom(
  database: Database,
  file: string,
  steps: readonly string[],
  isCopied: boolean,
  freeBytes: number | null,
): void {
  const page = database.pragma('page_size', { simple: true }) as number;
  const count = database.pragma('page_count', { simple: true }) as number;
  const unused = database.pragma('freelist_count', { simple: true }) as number;
  const used = page * (count - unused);
  // Records written anew stand in the log first, and then beside the old ones, in pages that are free and in new ones.
  const anew = steps.includes(PACKED_HASH_STEP) ? used + Math.max(0, used - page * unused) : 0;
  const bytes = (isCopied ? 0 : used) + anew + SPARE_BYTES;
  if (freeBytes === null || freeBytes >= bytes) return;
  throw new ProgramError(
    `This version keeps the store in another layout, and bringing ${file} to it needs ${megabytes(bytes)} MB while it is ` +
      `done: ${dirname(file)} has ${megabytes(freeBytes)} MB. Nothing was changed: make room, or start the version before.`,
    EXIT.configuration,
  );
}

const megabytes = (bytes: number): number => Math.ceil(bytes / 1e6);

function freeBeside(file: string): number | null {
  try {
    const { bavail, bsize } = statfsSync(dirname(file));
    return bavail * bsize;
  } catch {
    return null;
  }
}

/** Whole and private, or not there: made beside its place first. */
function keepCopy(database: Database, copy: string): void {
  const part = `${copy}.part`;
  rmSync(part, { force: true });
  try {
    // VACUUM INTO takes an empty file, and would make one that others can read.
    closeSync(openSync(part, 'wx', 0o600));
    database.prepare('VACUUM INTO ?').run(part);
    renameSync(part, copy);
  } catch (error) {
    // Half a copy would keep the disk full for the version before, too.
    rmSync(part, { force: true });
    throw error;
  }
}

/** Of the same layout, and nothing was added to any table since: an earlier start made it, and failed after that. */
function isCopyOf(database: Database, copy: string): boolean {
  const ends = (schema: string): string => {
    const tables = database
      .prepare(
        `SELECT name FROM ${schema}.sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%' ORDER BY name`,
      )
      .pluck()
      .all() as string[];
    const last = (table: string): unknown =>
      database.prepare(`SELECT max(rowid) FROM ${schema}."${table}"`).pluck().get();
    const layout = database.pragma(`${schema}.user_version`, { simple: true });
    return JSON.stringify([layout, tables.map(table => [table, last(table)])]);
  };
  database.prepare('ATTACH ? AS copied').run(copy);
  try {
    return ends('main') === ends('copied');
  } catch {
    // A copy that cannot be read is none.
    return false;
  } finally {
    database.exec('DETACH copied');
  }
}
