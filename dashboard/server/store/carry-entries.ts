/**
 * What people entered, out of a damaged store into the new one: without people, procedures and assignments
 * nobody could go on entering. Each group is taken whole or not at all; records come again from the edges.
 */
import { statSync } from 'node:fs';
import type { Database } from 'better-sqlite3';
import { LAYOUT } from './migrations.ts';
import type { Sqlite } from './sqlite-store.ts';

/** Tables that belong together, in an order that their references allow. */
const GROUPS: readonly (readonly string[])[] = [
  ['rigs'],
  // Or the first key that came along would be trusted.
  ['seal_keys'],
  // Without sessions: after such a start everybody signs in again.
  ['people_changes', 'passphrases', 'account_changes'],
  ['audit'],
  ['procedures'],
  ['assignments'],
  ['alarms', 'alarm_points', 'alarm_log'],
  ['dashboard_keys', 'journal', 'journal_signatures', 'judgements'],
];

export interface Carried {
  readonly rows: number;
  /** First table of each group that could not be read whole. */
  readonly lost: readonly string[];
}

export function carryEntries(to: Database, sqlite: Sqlite, damaged: string): Carried {
  const from = openDamaged(sqlite, damaged);
  if (!from) return { rows: 0, lost: GROUPS.map(([first]) => first!) };
  let rows = 0;
  const lost: string[] = [];
  try {
    for (const group of GROUPS) {
      try {
        rows += to.transaction(() => group.reduce((sum, table) => sum + carryTable(from, to, table), 0))();
      } catch {
        lost.push(group[0]!);
      }
    }
  } finally {
    from.close();
  }
  return { rows, lost };
}

/** Null where nothing can be read, or of a newer layout. What an older one has of these tables, the present one has too. */
function openDamaged(sqlite: Sqlite, file: string): Database | null {
  // SQLite would throw away a log that stands beside an empty file.
  if (statSync(file).size === 0) return null;
  let db: Database | null = null;
  try {
    db = sqlite(file, { readonly: true, fileMustExist: true });
    db.pragma('trusted_schema = OFF');
    const layout = db.pragma('user_version', { simple: true }) as number;
    if (layout > 0 && layout <= LAYOUT) return db;
  } catch {
    // Not even its header can be read.
  }
  db?.close();
  return null;
}

/** Throws where the table is damaged or does not fit; one that an older layout did not have holds nothing. */
function carryTable(from: Database, to: Database, table: string): number {
  const isThere = from.prepare(`SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = ?`).get(table);
  if (!isThere) return 0;
  const [check] = from.pragma(`quick_check(${table})`) as { quick_check: string }[];
  if (check?.quick_check !== 'ok') throw new Error(`${table}: ${check?.quick_check}`);
  const columns = (from.pragma(`table_info(${table})`) as { name: string }[]).map(({ name }) => name);
  const insert = to.prepare(
    `INSERT INTO ${table} (${columns.join(', ')}) VALUES (${columns.map(() => '?').join(', ')})`,
  );
  let rows = 0;
  for (const row of from
    .prepare(`SELECT ${columns.join(', ')} FROM ${table} ORDER BY rowid`)
    .raw()
    .iterate()) {
    insert.run(...(row as unknown[]));
    rows++;
  }
  return rows;
}
