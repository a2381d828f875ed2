/** What an error of SQLite asks for. */

/**
 * `broken`: the file or the medium; the handle must not be used again, and the next start checks the file.
 * `passing`: the disk is full or held by someone; worth trying again as it is.
 * `content`: what was written is at fault. null: no error of the store.
 */
export type StoreErrorKind = 'broken' | 'passing' | 'content';

const BROKEN = /^SQLITE_(IOERR|CORRUPT|NOTADB)/;
const PASSING = /^SQLITE_(BUSY|LOCKED|FULL|READONLY|CANTOPEN|NOMEM|PROTOCOL)/;

export function storeErrorKind(error: unknown): StoreErrorKind | null {
  const code = codeOf(error);
  if (!code.startsWith('SQLITE_')) return null;
  return BROKEN.test(code) ? 'broken' : PASSING.test(code) ? 'passing' : 'content';
}

/**
 * Keeps what can be made again at any time; false where the store takes nothing for now. For whoever only reads: a full
 * disk is no reason not to be answered.
 */
export function keepIfThereIsRoom(keep: () => void): boolean {
  try {
    keep();
    return true;
  } catch (error) {
    if (storeErrorKind(error) !== 'passing') throw error;
    return false;
  }
}

export function isFull(error: unknown): boolean {
  return codeOf(error) === 'SQLITE_FULL';
}

export function codeOf(error: unknown): string {
  const { code } = (error ?? {}) as { code?: unknown };
  return typeof code === 'string' ? code : '';
}
