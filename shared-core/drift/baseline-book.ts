/**
 * What the good passes of one rig taught, by pass type: the sums of their windows, newest last. Pure: a closed
 * pass folded in gives a new book. It is JSON as it stands, so an edge keeps it across restarts.
 */
import { z } from 'zod';
import { type PassDrift, windowStatisticsSchema } from '../messages/drift.ts';

/** Older passes than this are forgotten. */
export const BOOK_PASSES = 10;
/** So many passes in a row that all run unlike the good ones are how this rig runs now (our own choice). */
export const NEW_NORMAL_PASSES = 5;
/** Pass types of a season; the one used longest ago goes first. */
const BOOK_ENTRIES = 120;

const bookPassSchema = z.strictObject({
  runOutMm: z.number().nullable(),
  windows: z.array(windowStatisticsSchema).max(6),
});
export type BookPass = z.infer<typeof bookPassSchema>;

export const bookEntrySchema = z.strictObject({
  key: z.string().max(300),
  passes: z.array(bookPassSchema).max(BOOK_PASSES),
  /** In a row since the last good one: fit to teach but for running unlike it. */
  unlike: z.array(bookPassSchema).max(NEW_NORMAL_PASSES),
});
export type BookEntry = z.infer<typeof bookEntrySchema>;

/** Entries in the order of their last lesson. */
export type DriftBook = readonly BookEntry[];
export const EMPTY_BOOK: DriftBook = [];

export interface PassType {
  readonly procedureId: string;
  readonly procedureRevision: number;
  readonly pass: string;
  /** Null: no side assigned. */
  readonly side: string | null;
}

/** A pass is like another of its procedure revision, pass and side: nothing else is. */
export function bookKey({ procedureId, procedureRevision, pass, side }: PassType): string {
  return JSON.stringify([procedureId, procedureRevision, side, pass]);
}

export function bookEntry(book: DriftBook, key: string): BookEntry | null {
  return book.find(entry => entry.key === key) ?? null;
}

/** The book after this pass; the same book where the pass teaches nothing. */
export function learnPass(
  book: DriftBook,
  key: string,
  drift: Pick<PassDrift, 'teaches' | 'windows'>,
  runOutMm: number | null,
): DriftBook {
  const { good, unlike: isUnlike = false } = drift.teaches;
  if (!good && !isUnlike) return book;
  const before = bookEntry(book, key);
  const pass = { runOutMm, windows: drift.windows };
  let passes = [...(before?.passes ?? [])];
  let unlike: BookPass[] = [];
  if (good) passes = [...passes, pass].slice(-BOOK_PASSES);
  else {
    unlike = [...(before?.unlike ?? []), pass];
    if (unlike.length >= NEW_NORMAL_PASSES) {
      passes = unlike;
      unlike = [];
    }
  }
  return [...book.filter(entry => entry.key !== key), { key, passes, unlike }].slice(-BOOK_ENTRIES);
}
