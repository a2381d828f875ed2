import type { Entry, EntryOf } from './entry.ts';
import { standingOf } from './standing.ts';
import type { CallRef } from './watch-entries.ts';

export const callKey = (passId: string, { of, number }: CallRef): string => `${passId} ${of} ${number}`;

/** The newest standing mark of each call. Entries in order. */
export function callMarks(entries: readonly Entry[]): ReadonlyMap<string, EntryOf<'callMark'>> {
  return new Map(
    standingOf(entries, 'callMark').map(entry => [callKey(entry.body.passId, entry.body.call), entry]),
  );
}
