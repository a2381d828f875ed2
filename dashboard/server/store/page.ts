/** Pages by key: a page begins after the last row of the one before, so rows that come meanwhile shift nothing. */
import type { Page } from './store.ts';

export class BadCursorError extends Error {
  constructor() {
    super('before is not a value that a page gave as next');
  }
}

/** The WHERE clause of equal columns (or "column >=" comparisons) and of the cursor, with its values. */
export function where(
  conditions: Readonly<Record<string, string | undefined>>,
  cursorCondition: string,
  cursor: string | undefined,
  cursorParts: number,
): { clause: string; values: string[] } {
  const clauses: string[] = [];
  const values: string[] = [];
  for (const [column, value] of Object.entries(conditions)) {
    if (value === undefined) continue;
    clauses.push(column.includes(' ') ? `${column} ?` : `${column} = ?`);
    values.push(value);
  }
  if (cursor !== undefined) {
    clauses.push(cursorCondition);
    values.push(...partsOf(cursor, cursorParts));
  }
  return { clause: clauses.length > 0 ? `WHERE ${clauses.join(' AND ')}` : '', values };
}

function partsOf(cursor: string, count: number): string[] {
  let parts: unknown;
  try {
    parts = JSON.parse(Buffer.from(cursor, 'base64url').toString('utf8'));
  } catch {
    throw new BadCursorError();
  }
  const valid =
    Array.isArray(parts) &&
    parts.length === count &&
    parts.every((part): part is string => typeof part === 'string');
  if (!valid) throw new BadCursorError();
  return parts as string[];
}

/** `rows` hold one more than `limit` where there is a next page. */
export function pageOf<Row, Item>(
  rows: readonly Row[],
  limit: number,
  keyOf: (row: Row) => string[],
  itemOf: (row: Row) => Item,
): Page<Item> {
  const shown = rows.slice(0, limit);
  const last = shown.at(-1);
  const next =
    rows.length > limit && last
      ? Buffer.from(JSON.stringify(keyOf(last)), 'utf8').toString('base64url')
      : null;
  return { items: shown.map(itemOf), next };
}
