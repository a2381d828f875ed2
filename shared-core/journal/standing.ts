import type { Entry, EntryKind, EntryOf } from './entry.ts';

// Apart from the schemas, so that the browser can fold entries without a schema library.

/** Entries as they stand: without those that a later entry corrects, in order. */
export function standing(entries: readonly Entry[]): Entry[] {
  const corrected = new Set(entries.map(entry => entry.corrects));
  return entries.filter(entry => !corrected.has(entry.id));
}

/** Standing entries of one kind, in order. */
export function standingOf<K extends EntryKind>(entries: readonly Entry[], kind: K): EntryOf<K>[] {
  return standing(entries).filter((entry): entry is EntryOf<K> => entry.body.kind === kind);
}
