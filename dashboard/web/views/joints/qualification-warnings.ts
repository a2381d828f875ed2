import type { Entry, EntryOf } from '#core/journal/entry';

export type QualificationWarning =
  | { readonly kind: 'none' }
  | { readonly kind: 'expired'; readonly on: string }
  | { readonly kind: 'otherProcess'; readonly processes: readonly string[] };

export type QualificationEntry = EntryOf<'qualification'>;
export const isQualification = (entry: Entry): entry is QualificationEntry =>
  entry.body.kind === 'qualification';

/**
 * What to know of an operator before the arc, by the entries that stand: none entered, none of them still good on
 * `date`, or none for the process of the procedure. Null where one is good. A range in words is for a person to judge.
 * @param process ISO 4063 number of the procedure; null where it gives none
 */
export function qualificationWarning(
  entries: readonly QualificationEntry[],
  person: string,
  process: string | null,
  date: string,
): QualificationWarning | null {
  const corrected = new Set(entries.map(entry => entry.corrects));
  const own = entries.filter(entry => entry.body.person === person && !corrected.has(entry.id));
  if (own.length === 0) return { kind: 'none' };
  const fitting = process === null ? own : own.filter(({ body }) => body.process === process);
  if (fitting.length === 0) {
    return { kind: 'otherProcess', processes: [...new Set(own.map(({ body }) => body.process))] };
  }
  const latest =
    fitting
      .map(({ body }) => body.expires)
      .sort()
      .at(-1) ?? '';
  return latest < date ? { kind: 'expired', on: latest } : null;
}
