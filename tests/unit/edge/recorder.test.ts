import { beforeEach, describe, expect, it, vi } from 'vitest';
import type { RigEvent } from '#core/messages/event';
import { recordBodySchema } from '#core/messages/record';
import type { SampleChunk } from '#core/sample/chunk';
import { Recorder } from '../../../edge/capture/recorder.ts';
import type { InternalEvents } from '../../../edge/internal-events.ts';
import { type AppendResult, type PendingBatch, StoreError } from '../../../edge/outbox/outbox-types.ts';
import { testPass } from '../../support/test-records.ts';

const quiet: InternalEvents = { emit: () => undefined, counters: () => ({}) };

/** A store that answers when the test says so. */
class Bench {
  now = 0;
  seq = 0;
  readonly appended: PendingBatch[] = [];
  readonly calls: number[] = [];
  pending: ((answer: 'ok' | StoreError) => void) | null = null;
  readonly committed: { lastSeq: number; events: string[] }[] = [];
  readonly gaps: { fromUs: number; toUs: number; samples: number }[] = [];
  failed: StoreError | null = null;
  states = 0;
  readonly recorder = new Recorder({
    outbox: { append: batches => this.append(batches) },
    clock: {
      nowUs: () => this.now * 1000,
      utcMinusRecordMs: () => 0,
      utcOf: () => '2026-06-01T08:00:00.000Z',
      state: () => 'unsynced',
      reading: () => ({ state: 'unsynced', offsetMs: null }),
      check: () => null,
      mark: () => ({}),
      awayKnown: true,
    },
    events: quiet,
    monotonicMs: () => this.now,
    header: () => ({
      origin: 'simulated',
      site: 's',
      rig: 'r',
      at: '2026-06-01T08:00:00.000Z',
      clock: { state: 'unsynced', offsetMs: null },
      utcMinusRecordMs: 0,
    }),
    resumeState: () => ({ n: String(++this.states) }),
    onCommitted: (lastSeq, events) => this.committed.push({ lastSeq, events: events.map(({ id }) => id) }),
    onGap: gap => this.gaps.push(gap),
    onFailed: error => {
      this.failed = error;
    },
  });

  async answer(answer: 'ok' | StoreError = 'ok'): Promise<void> {
    this.pending?.(answer);
    this.pending = null;
    for (let i = 0; i < 20; i++) await Promise.resolve();
  }

  samplesOnRecord(): number {
    return this.appended.reduce(
      (sum, { body }) => sum + (recordBodySchema.parse(JSON.parse(body)).samples?.n ?? 0),
      0,
    );
  }

  private append(batches: readonly PendingBatch[]): Promise<AppendResult> {
    this.calls.push(batches.length);
    return new Promise((resolve, reject) => {
      this.pending = answer => {
        if (answer !== 'ok') return reject(answer);
        this.appended.push(...batches);
        const firstSeq = this.seq + 1;
        this.seq += batches.length;
        resolve({ firstSeq, lastSeq: this.seq, head: '', tookMs: 5 });
      };
    });
  }
}

function chunk(fromUs: number, n = 10): SampleChunk {
  return {
    n,
    tUs: Float64Array.from({ length: n }, (_, i) => fromUs + i * 1000),
    lengthUs: null,
    columns: { weldingCurrent: new Float64Array(n).fill(100) },
  };
}

function event(id: string): RigEvent {
  return {
    origin: 'simulated',
    id,
    type: 'storage',
    tUs: 0,
    at: '2026-06-01T08:00:00.000Z',
    passIndex: null,
    text: id,
    data: {},
  };
}

let bench: Bench;
beforeEach(() => {
  bench = new Bench();
});

describe('the recorder', () => {
  it('writes nothing when there is nothing', () => {
    bench.recorder.closeBatch();
    expect(bench.calls).toEqual([]);
  });

  it('tells of an event only after it is durable', async () => {
    bench.recorder.addEvent(event('e1'));
    bench.recorder.closeBatch();
    expect(bench.committed).toEqual([]);
    await bench.answer();
    expect(bench.committed).toEqual([{ lastSeq: 1, events: ['e1'] }]);
    expect(bench.recorder.storedToUs).toBe(0);
  });

  it('commits what gathered behind a slow sync in one transaction, in order', async () => {
    for (let i = 0; i < 4; i++) {
      bench.recorder.addEvent(event(`e${i}`));
      bench.recorder.closeBatch();
    }
    expect(bench.calls).toEqual([1]);
    await bench.answer();
    expect(bench.calls).toEqual([1, 3]);
    await bench.answer();
    expect(bench.committed.flatMap(({ events }) => events)).toEqual(['e0', 'e1', 'e2', 'e3']);
    expect(bench.appended.map(({ state }) => state['n'])).toEqual(['1', '2', '3', '4']);
  });

  it('calls a commit that takes more than 2 s lagging', async () => {
    bench.recorder.addSamples(chunk(0));
    bench.recorder.closeBatch();
    bench.now = 2000;
    expect(bench.recorder.state).toBe('ok');
    bench.now = 2001;
    expect(bench.recorder.state).toBe('lagging');
    await bench.answer();
    expect(bench.recorder.state).toBe('ok');
    expect(bench.recorder.syncP99Ms).toBe(5);
  });

  it('holds 30 s of a stalled store without loss', async () => {
    for (let second = 0; second < 30; second++) {
      bench.now = second * 1000;
      bench.recorder.addSamples(chunk(second * 1_000_000));
      bench.recorder.closeBatch();
    }
    await bench.answer();
    await bench.answer();
    expect(bench.samplesOnRecord()).toBe(300);
    expect(bench.gaps).toEqual([]);
  });

  it('beyond that records the gap with its edges and its count, once there is room', async () => {
    for (let second = 0; second < 40; second++) {
      bench.now = second * 1000;
      bench.recorder.addSamples(chunk(second * 1_000_000));
      bench.recorder.closeBatch();
    }
    await bench.answer();
    await bench.answer();
    bench.recorder.addSamples(chunk(40_000_000));
    bench.recorder.closeBatch();
    await bench.answer();
    expect(bench.gaps).toEqual([{ fromUs: 30_000_000, toUs: 39_009_000, samples: 100 }]);
    expect(bench.samplesOnRecord() + bench.gaps[0]!.samples).toBe(410);
  });

  it('records the gap so far with a pass that closes meanwhile: its seal has to list it', async () => {
    for (let second = 0; second < 50; second++) {
      bench.now = second * 1000;
      bench.recorder.addSamples(chunk(second * 1_000_000));
      if (second === 39) {
        bench.recorder.addPass(testPass(1, { state: 'open' }));
        bench.recorder.closeBatch();
        expect(bench.gaps).toEqual([]);
        bench.recorder.addPass(testPass(1));
      }
      bench.recorder.closeBatch();
      expect(bench.gaps).toHaveLength(second < 39 ? 0 : 1);
    }
    await bench.answer();
    await bench.answer();
    bench.recorder.closeBatch();
    expect(bench.gaps).toEqual([
      { fromUs: 30_000_000, toUs: 39_009_000, samples: 100 },
      { fromUs: 40_000_000, toUs: 49_009_000, samples: 100 },
    ]);
  });

  it('says failed and tries again while the disk is full; nothing is lost when there is room', async () => {
    vi.useFakeTimers();
    try {
      bench.recorder.addEvent(event('e1'));
      bench.recorder.closeBatch();
      await bench.answer(new StoreError('full', 'database or disk is full'));
      expect(bench.recorder.state).toBe('failed');
      expect(bench.failed).toBeNull();
      bench.recorder.addEvent(event('e2'));
      bench.recorder.closeBatch();
      expect(bench.calls).toEqual([1]);
      await vi.advanceTimersByTimeAsync(1000);
      await bench.answer();
      expect(bench.recorder.state).toBe('ok');
      expect(bench.committed.flatMap(({ events }) => events)).toEqual(['e1', 'e2']);
    } finally {
      vi.useRealTimers();
    }
  });

  it('gives up on a store that failed: the program has to end', async () => {
    bench.recorder.addEvent(event('e1'));
    bench.recorder.closeBatch();
    await bench.answer(new StoreError('failed', 'disk I/O error'));
    expect(bench.failed?.kind).toBe('failed');
    bench.recorder.addEvent(event('e2'));
    bench.recorder.closeBatch();
    expect(bench.calls).toEqual([1]);
    expect(bench.committed).toEqual([]);
  });

  it('asks a source that can wait to wait, and lets it go on', async () => {
    let i = 0;
    const noisy = (): SampleChunk => {
      const n = 10_000;
      const tUs = Float64Array.from({ length: n }, (_, k) => (i * n + k) * 1000 + ((k * 7919) % 900));
      i += 1;
      return { n, tUs, lengthUs: null, columns: { power: tUs.map(t => (t * 7919) % 1_000_003) } };
    };
    while (!bench.recorder.pressure() && i < 400) bench.recorder.addSamples(noisy());
    const added = i;
    let eased = false;
    void bench.recorder.pressure()?.then(() => {
      eased = true;
    });
    expect(added).toBeLessThan(400);
    await bench.answer();
    await bench.answer();
    expect(eased).toBe(true);
    expect(bench.samplesOnRecord()).toBe(added * 10_000);
  });

  it('puts the stamp of a batch after every sample in it, also when a file runs ahead of the clock', async () => {
    bench.recorder.addSamples(chunk(9_000_000));
    bench.recorder.closeBatch();
    await bench.answer();
    expect(bench.appended[0]?.closedUs).toBe(9_009_000);
    // When it was closed, by the wall clock: how long the edge is away after it is counted from there.
    expect(bench.appended[0]?.closedUtcMs).toBe(bench.now);
  });
});
