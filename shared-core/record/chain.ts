/**
 * The hash chain over a stream's batches. Hashing itself is passed in by each room:
 * hash(n) = SHA-256( UTF-8 of recordHashInput(…) ), prev of the first batch is CHAIN_START.
 * The body is hashed as the exact text that travels, so nothing has to be re-serialised to verify it.
 */
export const CHAIN_START = '0'.repeat(64);

export function recordHashInput(record: { prev: string; stream: string; seq: number; body: string }): string {
  return `girthlog.record/1\n${record.prev}\n${record.stream}\n${record.seq}\n${record.body}`;
}

/**
 * A batch whose samples were reduced keeps the hash of its whole text: chain and seals hold. The reduced text has a
 * hash of its own, tied to that one: SHA-256( UTF-8 of reducedHashInput(…) ).
 */
export function reducedHashInput(record: { hash: string; body: string }): string {
  return `girthlog.reduced/1\n${record.hash}\n${record.body}`;
}
