/** Moves of recorded passes: the sealed record stays, the last move that stands says what a pass counts as. */
import type { MovedPass, PassWork } from '../messages/api-journal.ts';
import type { PassMessage } from '../messages/pass.ts';
import { type Entry, type EntryOf, standingOf } from './entry.ts';
import type { RecordedPass } from './joint-facts.ts';

/** The standing move of each pass that was moved, by pass id. Entries in order. */
export function movesByPass(entries: readonly Entry[]): ReadonlyMap<string, EntryOf<'passMoved'>> {
  return new Map(standingOf(entries, 'passMoved').map(entry => [entry.body.passId, entry]));
}

/** A pass with what it counts as. `assignedPass`: the pass of its assignment, where the record names none. */
export function recordedPass(
  message: PassMessage,
  assignedPass: string | null,
  move: EntryOf<'passMoved'> | null,
): RecordedPass {
  const recordedAs: PassWork = {
    joint: message.joint,
    side: message.side,
    pass: message.pass.procedurePass ?? assignedPass,
  };
  if (!move) return { message, recordedAs, work: recordedAs, move: null };
  const moved = movedPass(move, recordedAs);
  return { message, recordedAs, work: moved.to, move: moved };
}

export function movedPass(entry: EntryOf<'passMoved'>, from: PassWork): MovedPass {
  const { passId, joint, side, pass } = entry.body;
  return {
    passId,
    entryId: entry.id,
    author: entry.author,
    at: entry.at,
    reason: entry.reason,
    from,
    to: { joint, side, pass },
  };
}
