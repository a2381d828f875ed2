/** What an error of PostgreSQL, or of the way to it, asks for. */
import { codeOf, type StoreErrorKind } from '../store/store-errors.ts';

/** SQLSTATE classes of what was written: data, integrity, limits (PostgreSQL documentation, appendix A). */
const CONTENT = /^(22|23|54)[0-9A-Z]{3}$/;

/**
 * `content`: the batch is at fault. null: our own mistake, no error of the store. All else is worth trying again: no
 * line, a server that restarts, a lock, a full disk. Never `broken`: the server looks after its own files.
 */
export function postgresErrorKind(error: unknown): StoreErrorKind | null {
  if (error instanceof TypeError || error instanceof RangeError) return null;
  return CONTENT.test(codeOf(error)) ? 'content' : 'passing';
}
