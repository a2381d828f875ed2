import { createHash } from 'node:crypto';

interface ChainedBatch {
  readonly seq: number;
  readonly prev: string;
  readonly hash: string;
  readonly body: string;
  /** Where samples gave way: the body that is left has a hash of its own, that of the batch is the whole one's. */
  readonly reduced_to?: string | null;
  readonly body_hash?: string | null;
}

/** An independent check of a stream's chain from its first batch on; what is wrong, or null. */
export function verifyChain(stream: string, batches: readonly ChainedBatch[]): string | null {
  let prev = '0'.repeat(64);
  for (const [i, batch] of batches.entries()) {
    if (batch.seq !== i + 1) return `seq ${batch.seq} stands where ${i + 1} should`;
    if (batch.prev !== prev) return `seq ${batch.seq} does not follow`;
    const isReduced = typeof batch.reduced_to === 'string';
    const text = isReduced
      ? ['girthlog.reduced/1', batch.hash, batch.body].join('\n')
      : ['girthlog.record/1', prev, stream, String(batch.seq), batch.body].join('\n');
    const hash = createHash('sha256').update(text).digest('hex');
    if (hash !== (isReduced ? batch.body_hash : batch.hash)) return `seq ${batch.seq} has another hash`;
    prev = batch.hash;
  }
  return null;
}
