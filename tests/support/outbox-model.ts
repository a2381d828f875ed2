/** What an outbox should hold, in memory: the reference that the real one is compared with. */
import { createHash } from 'node:crypto';
import type { AckClaim, AckVerdict, PendingBatch, StoredBatch } from '../../edge/outbox/outbox-types.ts';

const REWIND_EVERY_MS = 10_000;

interface Kept {
  readonly body: string;
  readonly hash: string;
  /** What may be left of it, in the order it may go. */
  state: 'whole' | 'thinned' | 'pruned';
}

export class OutboxModel {
  readonly stream: string;
  readonly batches: Kept[] = [];
  readonly cursors: Record<string, number> = {};
  /** Where each cursor may be found after a kill: one that moves on is written with the next batch at the latest. */
  readonly inFile: Record<string, { from: number; to: number }> = {};
  state: string | undefined;
  private readonly rewoundMs = new Map<string, number>();

  constructor(stream: string, stores: readonly string[]) {
    this.stream = stream;
    for (const store of stores) {
      this.cursors[store] = 0;
      this.inFile[store] = { from: 0, to: 0 };
    }
  }

  get lastSeq(): number {
    return this.batches.length;
  }

  get watermark(): number {
    return Math.min(this.lastSeq, ...Object.values(this.cursors));
  }

  hashAt(seq: number): string {
    return this.batches[seq - 1]?.hash ?? '0'.repeat(64);
  }

  append(batches: readonly PendingBatch[]): void {
    for (const { body } of batches) {
      const seq = this.lastSeq + 1;
      const text = ['girthlog.record/1', this.hashAt(seq - 1), this.stream, seq, body].join('\n');
      this.batches.push({ body, hash: createHash('sha256').update(text).digest('hex'), state: 'whole' });
    }
    this.settled();
  }

  judge({ store, stream, upto, head }: AckClaim, nowMs: number): AckVerdict {
    const cursor = this.cursors[store];
    if (cursor === undefined) return 'unlisted';
    if (stream !== this.stream) return 'wrongStream';
    if (upto > this.lastSeq) return 'future';
    if (head !== this.hashAt(upto)) return upto < cursor ? 'stale' : 'wrongHead';
    if (upto === cursor) return 'repeated';
    if (upto < cursor) {
      const last = this.rewoundMs.get(store);
      if (last !== undefined && nowMs - last < REWIND_EVERY_MS) return 'stale';
      this.rewoundMs.set(store, nowMs);
    }
    this.cursors[store] = upto;
    this.inFile[store] = { from: upto < cursor ? upto : this.inFile[store]!.from, to: upto };
    return upto < cursor ? 'rewound' : 'accepted';
  }

  /** Cursors are in the file as they are here: after a batch, or a store that was closed. */
  settled(): void {
    for (const [store, upto] of Object.entries(this.cursors)) this.inFile[store] = { from: upto, to: upto };
  }

  /** A new process goes on from the cursors it finds, and does not remember when it last went back. */
  restarted(found: Readonly<Record<string, number>>): void {
    for (const [store, upto] of Object.entries(found)) this.cursors[store] = upto;
    this.settled();
    this.rewoundMs.clear();
  }

  /** What is wrong with the rows an outbox gave for everything, or null; takes over what gave way. */
  problemIn(
    rows: readonly StoredBatch[],
    allowed: (seq: number, to: 'thinned' | 'pruned') => boolean,
  ): string | null {
    if (rows.length !== this.lastSeq) return `${rows.length} batches, not ${this.lastSeq}`;
    for (const [i, row] of rows.entries()) {
      const kept = this.batches[i]!;
      const seq = i + 1;
      if (row.seq !== seq || row.hash !== kept.hash || row.prev !== this.hashAt(i))
        return `batch ${seq} is another`;
      const to = row.reduced?.to ?? 'whole';
      if (to !== kept.state) {
        const order = ['whole', 'thinned', 'pruned'];
        if (order.indexOf(to) < order.indexOf(kept.state)) return `batch ${seq} came back from ${kept.state}`;
        if (to !== 'whole' && !allowed(seq, to)) return `batch ${seq} was ${to} too early`;
        kept.state = to;
      }
      if (to === 'whole' && row.body !== kept.body) return `batch ${seq} was changed`;
      if (row.reduced) {
        const text = ['girthlog.reduced/1', row.hash, row.body].join('\n');
        if (createHash('sha256').update(text).digest('hex') !== row.reduced.bodyHash) {
          return `batch ${seq} does not carry the hash of what is left`;
        }
      }
    }
    return null;
  }
}
