/** Brings a store's file to the present layout: a copy first, then one step a transaction. */
import { closeSync, existsSync, openSync, renameSync, rmSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import type { Database } from 'better-sqlite3';
import { EXIT, ProgramError } from '#core/program/program-error';
import { LAYOUT, MIGRATIONS } from './migrations.ts';
import { codeOf, storeErrorKind } from './store-errors.ts';

export class NewerLayoutError extends Error {
  readonly found: number;

  constructor(found: number) {
    super(`store layout ${found} is newer than ${LAYOUT}`);
    this.found = found;
  }
}

/**
 * Brings the file to LAYOUT (or an older one, for a test that needs it). Returns the steps taken. Throws
 * NewerLayoutError, or ProgramError when a step fails: the file is then as it was after the last whole step.
 */
export function migrate(database: Database, file: string, layout: number = LAYOUT): number {
  const found = database.pragma('user_version', { simple: true }) as number;
  if (found > LAYOUT) throw new NewerLayoutError(found);
  if (found >= layout) return 0;
  try {
    if (found > 0) keepCopy(database, `${file}.layout-${found}`);
    for (let step = found; step < layout; step++) {
      database.transaction(() => {
        database.exec(MIGRATIONS[step]!);
        database.pragma(`user_version = ${step + 1}`);
      })();
    }
  } catch (error) {
    // Damage is for whoever moves the file aside; a full disk or a step that does not fit is for a person.
    if (found === 0 || storeErrorKind(error) === 'broken') throw error;
    throw new ProgramError(
      `The store ${file} could not be brought from layout ${found} to ${layout} (${codeOf(error)}: ` +
        `${(error as Error).message}): nothing of it was lost, and the version before still opens ${basename(file)}.layout-${found}, ` +
        `where it was made. See that ${dirname(file)} has room for twice the store.`,
      EXIT.configuration,
    );
  }
  return layout - found;
}

/** Whole and private, or not there: made beside its place first. One made before for this layout stays. */
function keepCopy(database: Database, copy: string): void {
  if (existsSync(copy)) return;
  const part = `${copy}.part`;
  rmSync(part, { force: true });
  // VACUUM INTO takes an empty file, and would make one that others can read.
  closeSync(openSync(part, 'wx', 0o600));
  database.prepare('VACUUM INTO ?').run(part);
  renameSync(part, copy);
}
