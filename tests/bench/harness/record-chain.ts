/** Records as an edge sends them, chained, one second of samples each; for what only receives. */
import { createHash } from 'node:crypto';
import type { RecordMessage } from '#core/messages/record';
import { CHAIN_START, recordHashInput } from '#core/record/chain';
import type { SampleChunk } from '#core/sample/chunk';
import { batchBodies } from '../../../edge/capture/batch-bodies.ts';
import { RECORD_HEADER } from './record-header.ts';

export class RecordChain {
  readonly rig: string;
  seq = 0;
  private readonly stream: string;
  private prev = CHAIN_START;

  constructor(rig: string) {
    this.rig = rig;
    this.stream = createHash('sha256').update(rig).digest('hex').slice(0, 32);
  }

  next(samples: SampleChunk): RecordMessage {
    const { stream, prev, rig } = this;
    const seq = ++this.seq;
    const [batch] = batchBodies({ ...RECORD_HEADER, rig }, { samples, events: [], passes: [] });
    const body = batch!.text;
    const hash = createHash('sha256').update(recordHashInput({ prev, stream, seq, body })).digest('hex');
    this.prev = hash;
    return { origin: RECORD_HEADER.origin, stream, seq, prev, hash, historical: false, body };
  }
}
