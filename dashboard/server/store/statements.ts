import type { Database, Statement } from 'better-sqlite3';

export type Prepare = (sql: string) => Statement<unknown[], unknown>;

/** Prepares each statement once and keeps it. */
export function prepareOnce(database: Database): Prepare {
  const kept = new Map<string, Statement<unknown[], unknown>>();
  return sql => {
    let statement = kept.get(sql);
    if (!statement) {
      statement = database.prepare<unknown[], unknown>(sql);
      kept.set(sql, statement);
    }
    return statement;
  };
}
