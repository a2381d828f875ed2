/** Does a stream's chain still hold? What is wrong is said with the number of the first bad batch. */
import { createHash } from 'node:crypto';
import { CHAIN_START, recordHashInput, reducedHashInput } from '#core/record/chain';
import type { Row, Statements } from './statements.ts';

/** The file holds something it never should; only a new one can go on. */
export class DamagedStore extends Error {}

export function hashBatch(record: { prev: string; stream: string; seq: number; body: string }): string {
  return createHash('sha256').update(recordHashInput(record), 'utf8').digest('hex');
}

/** Of what a reduced batch still holds, tied to the hash of the whole. */
export function hashReduced(record: { hash: string; body: string }): string {
  return createHash('sha256').update(reducedHashInput(record), 'utf8').digest('hex');
}

/** What is wrong with one batch that should be number `seq` and follow `prev`; null when nothing is. */
export function problemOf(row: Row, stream: string, seq: number, prev: string): string | null {
  if (row.seq !== seq) return `batch ${seq} is missing`;
  if (row.stream !== stream) return `batch ${seq} belongs to another stream`;
  if (row.prev !== prev) return `batch ${seq} does not follow the one before it`;
  const fits =
    row.reduced_to === null
      ? hashBatch({ prev, stream, seq, body: row.body }) === row.hash
      : hashReduced(row) === row.body_hash;
  return fits ? null : `batch ${seq} does not match its hash`;
}

/** Every batch from `from` (at least 1) to the newest. Throws DamagedStore. */
export function checkChain(statements: Statements, stream: string, from: number): void {
  let seq = 0;
  let prev = '';
  for (const row of statements.from.iterate(Math.max(1, from), Number.MAX_SAFE_INTEGER)) {
    if (seq === 0) {
      seq = row.seq;
      prev = row.seq === 1 ? CHAIN_START : row.prev;
    }
    const problem = problemOf(row, stream, seq, prev);
    if (problem) throw new DamagedStore(problem);
    seq += 1;
    prev = row.hash;
  }
}
