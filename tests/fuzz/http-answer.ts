/** What must hold of every answer of the HTTP API. */
import type { Operation } from './http-request.ts';

export interface HttpAnswer {
  readonly status: number;
  readonly headers: Headers;
  readonly text: string;
}

/** What no answer may show: where the program lies, its stack, or the words of its database. */
const INSIDE = /\n\s+at |node_modules|\/work\/|dist\/girthlog|\.ts:\d|SQLITE_|SqliteError|better-sqlite3/;
/** Answered before a route is looked at. */
const BY_GUARDS = [304, 400, 401, 403, 404, 413, 415, 421, 429, 431];

/** Throws where the answer is none that the API may give. */
export function requireDecent(operation: Operation | null, { status, headers, text }: HttpAnswer): void {
  // Not HTTP at all, says the parser, and closes: the server behind it never saw it.
  if (status === 400 && text === '') return;
  if (status >= 500 && status !== 503) throw new Error(`answered ${status}: ${text.slice(0, 500)}`);
  if (INSIDE.test(text)) throw new Error(`the answer shows the inside: ${text.slice(0, 500)}`);
  if (headers.get('x-powered-by') !== null) throw new Error('the answer names its framework');
  if (headers.get('x-content-type-options') !== 'nosniff') throw new Error('the answer may be sniffed');
  if (operation !== null && !operation.statuses.includes(status) && !BY_GUARDS.includes(status)) {
    throw new Error(`${operation.operationId} answers ${status}, which its document does not know`);
  }
  if (status < 400) return;
  const { code, detail } = JSON.parse(text) as { code?: unknown; detail?: unknown };
  if (typeof code !== 'string' || typeof detail !== 'string' || detail.length > 500) {
    throw new Error(`a problem without code and one short sentence: ${text.slice(0, 500)}`);
  }
}
