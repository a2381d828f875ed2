/**
 * A copy of the store as it is at one moment, while the dashboard goes on writing: SQLite's backup interface
 * inside one read transaction. Without that, each commit of the dashboard would begin the copy anew.
 */
import type { Sqlite } from '../store/sqlite-store.ts';
import { type StoreFacts, storeFacts } from './store-facts.ts';

/** Pages copied between two looks at the event loop: 8 MB. */
const STEP_PAGES = 2000;

export interface SnapshotOptions {
  readonly sqlite: Sqlite;
  readonly source: string;
  /** Made here; must not exist. */
  readonly target: string;
  /** 0 to 1. */
  readonly onProgress: (part: number) => void;
}

/** The copy is one file without side files, checked page by page. Throws SqliteError; SQLITE_CORRUPT if damaged. */
export async function takeSnapshot(options: SnapshotOptions): Promise<StoreFacts> {
  const { sqlite, source, target, onProgress } = options;
  const from = sqlite(source, { readonly: true, fileMustExist: true });
  try {
    from.pragma('busy_timeout = 5000');
    from.exec('BEGIN');
    // The transaction's moment is its first read.
    from.prepare('SELECT count(*) FROM sqlite_schema').get();
    await from.backup(target, {
      progress: ({ totalPages, remainingPages }) => {
        onProgress(totalPages === 0 ? 0 : 1 - remainingPages / totalPages);
        return STEP_PAGES;
      },
    });
  } finally {
    from.close();
  }
  const copy = sqlite(target, { fileMustExist: true });
  try {
    copy.pragma('journal_mode = DELETE');
    const [problem] = copy.pragma('quick_check(1)', { simple: false }) as { quick_check: string }[];
    if (problem?.quick_check !== 'ok') {
      throw new sqlite.SqliteError(problem?.quick_check ?? 'no answer', 'SQLITE_CORRUPT');
    }
    return storeFacts(copy);
  } finally {
    copy.close();
  }
}
