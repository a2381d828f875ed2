/** What follows from a ruling to repair a joint, or to cut it out. */
import { type Entry, type EntryOf, standingOf } from './entry.ts';

/**
 * The ruling a pass that began at `startUtc` was welded under, where that is a repair: the last disposition that stood
 * then decides. What is welded later on the same joint is a repair, not the pass a second time.
 */
export function repairOf(entries: readonly Entry[], startUtc: string): EntryOf<'disposition'> | null {
  const before = standingOf(entries, 'disposition').filter(({ at }) => at <= startUtc);
  const last = before.at(-1);
  return last && (last.body.decision === 'repair' || last.body.decision === 'reRepair') ? last : null;
}

/** The ruling that took a joint out of the line, where the last that stands is that: its number is retired. */
export function cutOutOf(entries: readonly Entry[]): EntryOf<'disposition'> | null {
  const last = standingOf(entries, 'disposition').at(-1);
  return last?.body.decision === 'cutOut' ? last : null;
}
