import { createHash } from 'node:crypto';

interface ChainedBatch {
  readonly seq: number;
  readonly prev: string;
  readonly hash: string;
  readonly body: string;
}

/** An independent check of a stream's chain from its first batch on; what is wrong, or null. */
export function verifyChain(stream: string, batches: readonly ChainedBatch[]): string | null {
  let prev = '0'.repeat(64);
  for (const [i, batch] of batches.entries()) {
    if (batch.seq !== i + 1) return `seq ${batch.seq} stands where ${i + 1} should`;
    if (batch.prev !== prev) return `seq ${batch.seq} does not follow`;
    const text = ['girthlog.record/1', prev, stream, String(batch.seq), batch.body].join('\n');
    const hash = createHash('sha256').update(text).digest('hex');
    if (hash !== batch.hash) return `seq ${batch.seq} has another hash`;
    prev = hash;
  }
  return null;
}
