/** What becomes of a pass that was growing when the edge died. */
import { recordBodySchema } from '#core/messages/record';
import type { PassEngine } from '#core/pass/engine-api';
import { fromBase64 } from '#core/sample/base64';
import type { SampleChunk } from '#core/sample/chunk';
import { decodeChunk } from '#core/sample/codec';
import type { InternalEvents } from '../internal-events.ts';
import type { StoredBatch } from '../outbox/outbox-types.ts';
import type { Capture } from './capture.ts';
import type { DriftKeeper } from './drift-keeper.ts';
import type { Recorder } from './recorder.ts';
import type { Stamper } from './stamper.ts';

export interface ResumeOptions {
  readonly engine: PassEngine;
  readonly stamper: Stamper;
  readonly recorder: Recorder;
  readonly capture: Capture;
  readonly drift?: Pick<DriftKeeper, 'resumed'>;
  readonly events: InternalEvents;
  readonly read: (fromSeq: number, limit: number, maxBytes: number) => Promise<StoredBatch[]>;
  readonly committedSeq: number;
}

const PAGE = 64;
const PAGE_BYTES = PAGE * 60_000;

/** A pass that was growing goes on; where that cannot be, it is closed as far as it was summed up. */
export async function resumePass(options: ResumeOptions): Promise<void> {
  const { engine, stamper, recorder, capture, events } = options;
  const fromUs = stamper.growingFromUs;
  const grown = fromUs !== null && (await regrow(options, fromUs).catch(() => false));
  options.drift?.resumed();
  if (grown) {
    const passIndex = engine.live().pass?.index ?? null;
    events.emit('passResumed', { passIndex });
    const text =
      'the edge started again during this pass: it goes on from its record, the time between is a gap';
    capture.tell({ type: 'storage', text, data: { passIndex } });
    return;
  }
  const orphan = stamper.orphan();
  if (!orphan) return;
  events.emit('passOrphaned', { passId: orphan.passId });
  recorder.addPass(orphan);
}

/**
 * Feeds the recorded samples since `fromUs` to the new engine, which then stands where the old one stood at the
 * last batch; what it says meanwhile is on record already. True when it has an open pass again.
 */
async function regrow({ engine, read, committedSeq }: ResumeOptions, fromUs: number): Promise<boolean> {
  const chunks: SampleChunk[] = [];
  for (let to = committedSeq; to > 0; to -= PAGE) {
    const from = Math.max(1, to - PAGE + 1);
    const batches = await readAll(read, from, to);
    // Sums over means of seconds would not be those of the pass.
    if (batches.some(batch => batch.reduced && batch.closedUs >= fromUs)) return false;
    const page = batches.flatMap(batch => (batch.reduced ? [] : samplesOf(batch.body)));
    chunks.unshift(...page);
    const first = page[0];
    if (first && first.tUs[0]! <= fromUs) break;
  }
  const needed = chunks.filter(chunk => chunk.tUs[chunk.n - 1]! >= fromUs);
  const period = needed.map(periodS).find(value => value !== null);
  if (period) engine.setSamplePeriod(period);
  for (const chunk of needed) engine.push(chunk);
  engine.drain();
  return engine.live().pass !== null;
}

/** Batches `from` to `to`, however many calls the size limit takes. */
async function readAll(read: ResumeOptions['read'], from: number, to: number): Promise<StoredBatch[]> {
  const batches: StoredBatch[] = [];
  for (let next = from; next <= to; ) {
    const some = await read(next, to - next + 1, PAGE_BYTES);
    const last = some.at(-1);
    if (!last) break;
    batches.push(...some);
    next = last.seq + 1;
  }
  return batches;
}

function samplesOf(body: string): SampleChunk[] {
  const { samples } = recordBodySchema.parse(JSON.parse(body));
  return samples ? [decodeChunk(fromBase64(samples.data))] : [];
}

/** The usual interval of a chunk, s: half of its intervals are no longer. */
function periodS({ n, tUs }: SampleChunk): number | null {
  if (n < 3) return null;
  const intervals = Float64Array.from({ length: n - 1 }, (_, i) => tUs[i + 1]! - tUs[i]!).sort();
  return intervals[(n - 1) >> 1]! / 1e6;
}
