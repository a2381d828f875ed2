/** The store's file as it stands, through a connection that cannot write: also beside a running dashboard. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Database } from 'better-sqlite3';
import { EXIT, ProgramError } from '#core/program/program-error';
import { LAYOUT } from './migrations.ts';
import type { Sqlite } from './sqlite-store.ts';

/** Throws ProgramError where there is none, it has another layout, or it cannot be read. */
export function openReadOnly(sqlite: Sqlite, directory: string): Database {
  const file = join(directory, 'dashboard.sqlite3');
  if (!existsSync(file)) {
    throw new ProgramError(
      `There is no store in ${directory}: name its directory with --data.`,
      EXIT.configuration,
    );
  }
  const db = sqlite(file, { readonly: true, fileMustExist: true });
  try {
    db.pragma('trusted_schema = OFF');
    db.pragma('busy_timeout = 2000');
    const layout = db.pragma('user_version', { simple: true }) as number;
    if (layout === LAYOUT) return db;
    const remedy =
      layout < LAYOUT ? 'start the dashboard on it once' : 'use the newer Girthlog that wrote it';
    throw new ProgramError(`The store in ${directory} has layout ${layout}: ${remedy}.`, EXIT.configuration);
  } catch (error) {
    db.close();
    if (error instanceof ProgramError) throw error;
    const code = (error as { code?: string }).code ?? 'unreadable';
    throw new ProgramError(
      `The store in ${directory} cannot be read (${code}): nothing in it can be checked.`,
      EXIT.integrity,
    );
  }
}
