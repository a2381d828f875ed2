/** What exports stand on in a program of its own: the store read only, rigs as they last described themselves. */

import { JournalFacts } from '../api/journal-facts.ts';
import { RigBoard } from '../live/rig-board.ts';
import { WindowCache } from '../review/window-cache.ts';
import type { Sqlite } from '../store/sqlite-store.ts';
import { SqliteStore } from '../store/sqlite-store.ts';
import type { ExportContext } from './export-context.ts';
import { readRigInfos } from './rig-info-file.ts';

export interface OfflineOptions {
  readonly directory: string;
  readonly sqlite: Sqlite;
  readonly software: string;
  /** IANA zone of the job. */
  readonly zone: string;
  readonly now: () => Date;
}

/** Throws ProgramError where the store cannot be read. */
export function openOffline(options: OfflineOptions): { context: ExportContext; close: () => void } {
  const { directory, sqlite, software, now, zone } = options;
  const nothing = (): void => {};
  const store = new SqliteStore({ directory, sqlite, report: nothing, now, readOnly: true });
  store.open();
  const board = new RigBoard({
    store,
    maxRigs: 0,
    now,
    report: nothing,
    onRig: nothing,
    onLive: nothing,
    onOrigin: nothing,
  });
  board.start();
  for (const message of readRigInfos(directory)) {
    if (board.find(message)) board.take(message, { kind: 'info', message });
  }
  const facts = new JournalFacts({ store, board, now, zone });
  const system = () => ({ software });
  return {
    context: { store, board, facts, now, system, windows: new WindowCache(), software },
    close: () => store.close(),
  };
}
