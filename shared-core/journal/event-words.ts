import type { EntryOf } from './entry.ts';

/** What was written about an event at a rig, wherever it stands; the reason of a correction says why it was corrected. */
export const eventWords = ({
  body,
  reason,
  corrects,
}: Pick<EntryOf<'rigEvent'>, 'body' | 'reason' | 'corrects'>): string | null =>
  body.note ?? (corrects === null ? reason : null);
