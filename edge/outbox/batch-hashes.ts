/** What a seal needs to know of the batches: their hashes, and where a moment of record time lies among them. */
import type { Statements } from './statements.ts';

/** Hashes of the batches `fromSeq` to `toSeq` in order, at most `limit`. */
export function hashesOf(statements: Statements, fromSeq: number, toSeq: number, limit: number): string[] {
  return statements.hashes.all(fromSeq, toSeq, limit);
}

/** The first batch closed at or after `recordUs`, one behind `lastSeq` where none was: closing times only grow. */
export function firstSeqSince(statements: Statements, lastSeq: number, recordUs: number): number {
  let [from, to] = [1, lastSeq + 1];
  while (from < to) {
    const middle = Math.floor((from + to) / 2);
    if ((statements.closedAt.get(middle) ?? 0) >= recordUs) to = middle;
    else from = middle + 1;
  }
  return from;
}
