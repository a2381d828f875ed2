/** Recorder, sealer and a real store in a file, without source or broker; a "kill" leaves the file as it is. */
import { createPrivateKey, generateKeyPairSync } from 'node:crypto';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import type { RigEvent } from '#core/messages/event';
import type { PassMessage } from '#core/messages/pass';
import { type RecordBody, recordBodySchema } from '#core/messages/record';
import type { SignedSeal } from '#core/record/seal';
import { Recorder } from '../../edge/capture/recorder.ts';
import type { InternalEvents } from '../../edge/internal-events.ts';
import { OutboxStore } from '../../edge/outbox/outbox-store.ts';
import type { OpenedStore } from '../../edge/outbox/outbox-types.ts';
import { type SealKey, sealKeyOf } from '../../edge/seal/seal-key.ts';
import { Sealer } from '../../edge/seal/sealer.ts';
import { START_MS } from './test-records.ts';

const quiet: InternalEvents = { emit: () => undefined, counters: () => ({}) };
const ADDRESS = { site: 'spread-1', rig: 'rig-a' };

export function newSealKey(): SealKey {
  const { privateKey } = generateKeyPairSync('ed25519');
  return sealKeyOf(createPrivateKey(privateKey.export({ format: 'pem', type: 'pkcs8' })));
}

export class SealingEdge {
  readonly replaced: { from: string; to: string }[] = [];
  readonly opened: OpenedStore;
  now = 0;
  private readonly store: OutboxStore;
  private readonly recorder: Recorder;
  private readonly sealer: Sealer;

  constructor(directory: string, key: SealKey) {
    const store = new OutboxStore({
      path: join(directory, 'edge.db'),
      requiredStores: ['truck'],
      budget: { budgetBytes: null, reserveBytes: 0 },
      monotonicMs: () => this.now,
      wallMs: () => START_MS,
    });
    this.store = store;
    this.opened = store.open();
    onTestFinished(() => store.close());
    const startUs = Math.max(START_MS * 1000, (this.opened.lastRecordUs ?? 0) + 1000);
    const clock = {
      nowUs: () => startUs + this.now * 1000,
      utcMinusRecordMs: () => 0,
      utcOf: (us: number) => new Date(Math.floor(us / 1000)).toISOString(),
      state: () => 'synced' as const,
      reading: () => ({ state: 'synced' as const, offsetMs: null }),
      check: () => null,
      mark: () => ({}),
      awayKnown: true,
    };
    const recorder: Recorder = new Recorder({
      outbox: { append: async batches => store.append(batches) },
      clock,
      events: quiet,
      monotonicMs: () => this.now,
      header: () => ({
        origin: 'simulated',
        ...ADDRESS,
        at: clock.utcOf(clock.nowUs()),
        clock: { state: 'synced', offsetMs: null },
        utcMinusRecordMs: 0,
      }),
      resumeState: (events, passes) => this.sealer.resumeState(events, passes),
      onCommitted: (lastSeq, _events, passes, grew) => this.sealer.committed(lastSeq, passes, grew),
      onGap: () => undefined,
      onFailed: error => {
        throw error;
      },
    });
    this.recorder = recorder;
    this.sealer = new Sealer({
      batches: {
        hashes: async (from, to, limit) => store.hashes(from, to, Math.min(limit, 3)),
        firstSeqSince: async us => store.firstSeqSince(us),
      },
      key,
      address: ADDRESS,
      origin: 'simulated',
      stream: this.opened.stream,
      software: 'girthlog-edge test',
      clock,
      state: this.opened.state,
      committedSeq: this.opened.committedSeq,
      monotonicMs: () => this.now,
      events: quiet,
      add: seal => recorder.addSeal(seal),
      onKeyReplaced: (from, to) => this.replaced.push({ from, to }),
      onFailed: error => {
        throw error;
      },
    });
    this.sealer.start();
  }

  /** Record time now, µs. */
  get nowUs(): number {
    return Math.max(START_MS * 1000, (this.opened.lastRecordUs ?? 0) + 1000) + this.now * 1000;
  }

  /** One second later a batch with these is committed, and what follows from it is in the next. */
  async second(events: readonly RigEvent[] = [], passes: readonly PassMessage[] = []): Promise<void> {
    this.now += 1000;
    for (const event of events) this.recorder.addEvent(event);
    for (const pass of passes) this.recorder.addPass(pass);
    this.sealer.tick();
    await this.recorder.drain();
    await this.idle();
  }

  async stop(): Promise<void> {
    await this.recorder.drain();
    await this.sealer.finish();
    await this.recorder.drain();
    this.store.close();
  }

  /** Nothing more is written; the lock goes with the process. */
  kill(): void {
    this.store.close();
  }

  hashes(fromSeq = 1): string[] {
    return this.store.hashes(fromSeq, Number.MAX_SAFE_INTEGER, Number.MAX_SAFE_INTEGER);
  }

  bodies(): RecordBody[] {
    return this.store.read(1, 10_000, 1e9).map(({ body }) => recordBodySchema.parse(JSON.parse(body)));
  }

  seals(): SignedSeal[] {
    return this.bodies().flatMap(({ seals }) => seals ?? []);
  }

  /** Lets the sealer's own steps run; each of them waits for answers that are here already. */
  private async idle(): Promise<void> {
    for (let i = 0; i < 400; i++) await Promise.resolve();
  }
}
