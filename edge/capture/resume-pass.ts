/** What becomes of a pass that was growing when the edge died. */
import { recordBodySchema } from '#core/messages/record';
import type { PassEngine } from '#core/pass/engine-api';
import { fromBase64 } from '#core/sample/base64';
import type { SampleChunk } from '#core/sample/chunk';
import { decodeChunk } from '#core/sample/codec';
import type { InternalEvents } from '../internal-events.ts';
import type { Outbox } from '../outbox/outbox-client.ts';
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
  readonly outbox: Pick<Outbox, 'read' | 'firstSeqSince' | 'reducedFrom'>;
  readonly committedSeq: number;
}

const PAGE = 64;
const PAGE_BYTES = PAGE * 60_000;
/** About five hours: some seconds to feed again, half a minute on a small board. Nothing is recorded meanwhile. */
const MOST_BATCHES = 18_000;

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
  // The engine began before this pass, and may have been fed some of it: its number is not for the next one.
  engine.resume(stamper.engineResume());
  if (!orphan) return;
  events.emit('passOrphaned', { passId: orphan.passId });
  recorder.addPass(orphan);
}

/**
 * Feeds the recorded samples since `fromUs` to the new engine, which then stands where the old one stood at the
 * last batch; what it says meanwhile is on record already. A page at a time: a pass may have stood open for days.
 * True when it has an open pass again.
 */
async function regrow(options: ResumeOptions, fromUs: number): Promise<boolean> {
  const { engine, outbox, committedSeq } = options;
  const first = await outbox.firstSeqSince(fromUs);
  // An arc that stopped was summed up when it did.
  if (committedSeq - first >= MOST_BATCHES) return false;
  // Sums over means of seconds would not be those of the pass.
  if ((await outbox.reducedFrom(first)) > 0) return false;
  let period: number | null = null;
  for (let from = first; from <= committedSeq; ) {
    const batches = await outbox.read(from, Math.min(PAGE, committedSeq - from + 1), PAGE_BYTES);
    const last = batches.at(-1);
    if (!last) return false;
    from = last.seq + 1;
    const chunks = batches
      .flatMap(({ body }) => samplesOf(body))
      .filter(chunk => chunk.tUs[chunk.n - 1]! >= fromUs);
    if (period === null) {
      period = chunks.map(periodS).find(value => value !== null) ?? null;
      if (period !== null) engine.setSamplePeriod(period);
    }
    for (const chunk of chunks) engine.push(chunk);
    engine.drain();
  }
  return engine.live().pass !== null;
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
