/**
 * What the good passes of one rig taught, by pass type: the sums of their windows, newest last. Pure: a closed
 * pass folded in gives a new book. It is JSON as it stands, so an edge keeps it across restarts.
 */
import { z } from 'zod';
import { type PassDrift, windowStatisticsSchema } from '../messages/drift.ts';

/** Older passes than this are forgotten. */
export const BOOK_PASSES = 10;
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
  if (!drift.teaches.good) return book;
  const before = bookEntry(book, key)?.passes ?? [];
  const passes = [...before, { runOutMm, windows: drift.windows }].slice(-BOOK_PASSES);
  return [...book.filter(entry => entry.key !== key), { key, passes }].slice(-BOOK_ENTRIES);
}
