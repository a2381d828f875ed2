/**
 * When what is sealed: a pass once its last batch is committed, the stream every minute while it grows and at the end.
 * The seal rides in the next batch. A closed pass waits in the store's state, written with the batch that closes it
 * and deleted with the batch that carries its seal: a kill in between leaves it waiting, and it is sealed at the next
 * start.
 */
import { z } from 'zod';
import type { RigEvent } from '#core/messages/event';
import { type PassMessage, passMessageSchema } from '#core/messages/pass';
import { NotCanonicalError } from '#core/record/canonical-json';
import { passSealSchema, type SignedSeal } from '#core/record/seal';
import type { InternalEvents } from '../internal-events.ts';
import type { StatePatch } from '../outbox/outbox-types.ts';
import { PassGaps } from './pass-gaps.ts';
import { SealMaker, type SealMakerOptions } from './seal-maker.ts';

/** The unsigned tail of a stream that grows is no longer than this, ms. */
export const CHECKPOINT_MS = 60_000;

const WAITING = 'sealWaiting';
const GAPS = 'sealGaps';

const waitingSchema = z.array(
  z.strictObject({
    pass: passMessageSchema,
    gaps: passSealSchema.shape.gaps,
    gapsLeftOut: passSealSchema.shape.gapsLeftOut,
  }),
);
type Waiting = z.infer<typeof waitingSchema>[number];

export interface SealerOptions extends SealMakerOptions {
  readonly committedSeq: number;
  readonly monotonicMs: () => number;
  readonly events: InternalEvents;
  /** Puts a seal into the batch that is open. */
  readonly add: (seal: SignedSeal) => void;
  /** The key file holds another key than the one in force, and nothing announced it. */
  readonly onKeyReplaced: (from: string, to: string) => void;
  /** The store cannot be read: the program ends. */
  readonly onFailed: (error: unknown) => void;
}

type Job = { readonly kind: 'key' | 'checkpoint' } | { readonly kind: 'pass'; readonly passId: string };

export class Sealer {
  private readonly options: SealerOptions;
  private readonly maker: SealMaker;
  private readonly gaps: PassGaps;
  private waiting: Waiting[];
  private readonly changed = new Set<typeof WAITING | typeof GAPS>();
  private committedSeq: number;
  /** Something else than seals was committed since the last checkpoint. */
  private hasGrown: boolean;
  private checkpointMs: number;
  private jobs: Job[] = [];
  private running: Promise<void> | null = null;

  constructor(options: SealerOptions) {
    this.options = options;
    this.maker = new SealMaker(options);
    this.gaps = new PassGaps(options.state[GAPS]);
    const waiting = options.state[WAITING];
    this.waiting = waiting === undefined ? [] : waitingSchema.parse(JSON.parse(waiting));
    this.committedSeq = options.committedSeq;
    this.hasGrown = options.committedSeq > this.maker.sealedUpTo;
    this.checkpointMs = options.monotonicMs();
  }

  /** Announces the key where the stream does not know it, then seals what an earlier run could not. */
  start(): void {
    const { key, onKeyReplaced } = this.options;
    const announced = this.maker.announcedKey;
    if (announced !== null && announced !== key.publicKey) onKeyReplaced(announced, key.publicKey);
    if (announced !== key.publicKey) this.jobs.push({ kind: 'key' });
    for (const { pass } of this.waiting) this.jobs.push({ kind: 'pass', passId: pass.passId });
    this.run();
  }

  /** A batch is being closed with these in it: what has to be saved in its transaction. */
  resumeState(events: readonly RigEvent[], passes: readonly PassMessage[]): StatePatch {
    const closed = passes.filter(({ state }) => state === 'closed');
    for (const event of events) {
      // The next pass may begin within the second that closed one: that has its gaps first.
      if (event.type === 'arcStart' && event.passIndex !== null) this.letWait(closed, event.passIndex);
      if (this.gaps.observe(event)) this.changed.add(GAPS);
    }
    this.letWait(closed, Number.POSITIVE_INFINITY);
    const patch: Record<string, string | null> = { ...this.maker.statePatch() };
    if (this.changed.has(GAPS)) patch[GAPS] = this.gaps.text();
    if (this.changed.has(WAITING)) {
      patch[WAITING] = this.waiting.length === 0 ? null : JSON.stringify(this.waiting);
    }
    this.changed.clear();
    return patch;
  }

  /** Takes those of `closed` that come before pass `index` over, with their gaps. */
  private letWait(closed: PassMessage[], index: number): void {
    while (closed[0] && closed[0].pass.index < index) {
      const pass = closed.shift()!;
      this.waiting.push({ pass, ...this.gaps.take(pass) });
      this.changed.add(WAITING).add(GAPS);
    }
  }

  /** Batches up to `lastSeq` are durable, with these passes; `grew` when they hold more than seals. */
  committed(lastSeq: number, passes: readonly PassMessage[], grew: boolean): void {
    this.committedSeq = lastSeq;
    this.hasGrown ||= grew;
    for (const { passId, state } of passes) if (state === 'closed') this.jobs.push({ kind: 'pass', passId });
    this.run();
  }

  /** About once a second. */
  tick(): void {
    if (this.options.monotonicMs() - this.checkpointMs < CHECKPOINT_MS) return;
    this.checkpointMs = this.options.monotonicMs();
    this.checkpoint();
  }

  /** Seals everything that is committed; the seals are in the open batch when it resolves. */
  async finish(): Promise<void> {
    this.checkpoint();
    while (this.running) await this.running;
  }

  private checkpoint(): void {
    if (this.hasGrown) this.jobs.push({ kind: 'checkpoint' });
    this.run();
  }

  private run(): void {
    if (this.running || this.jobs.length === 0) return;
    this.running = this.work()
      .catch(error => this.options.onFailed(error))
      .finally(() => {
        this.running = null;
        this.run();
      });
  }

  private async work(): Promise<void> {
    for (let job = this.jobs.shift(); job; job = this.jobs.shift()) await this.seal(job);
  }

  private async seal(job: Job): Promise<void> {
    const { maker, options } = this;
    const upto = this.committedSeq;
    if (job.kind === 'pass') {
      const found = this.waiting.find(({ pass }) => pass.passId === job.passId);
      if (!found) return;
      const cover = await maker.coverSince(found.pass.startUs, upto);
      this.waiting = this.waiting.filter(one => one !== found);
      this.changed.add(WAITING);
      try {
        this.told(maker.sign(cover, { kind: 'pass', ...found }));
      } catch (error) {
        // One text that cannot be signed must not end the recording, now and at every start.
        if (!(error instanceof NotCanonicalError)) throw error;
        options.events.emit('passNotSealed', { passId: job.passId, reason: error.message });
      }
      return;
    }
    const cover = await maker.coverStream(upto);
    this.hasGrown &&= this.committedSeq > upto;
    const content =
      job.kind === 'key'
        ? ({ kind: 'key', publicKey: options.key.publicKey } as const)
        : ({ kind: 'checkpoint' } as const);
    this.told(maker.sign(cover, content));
  }

  private told(seal: SignedSeal): void {
    this.options.add(seal);
    this.options.events.emit('sealed', { kind: seal.seal['kind'], number: seal.seal['number'] });
  }
}
