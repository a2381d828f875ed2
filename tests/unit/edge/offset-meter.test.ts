import { beforeEach, describe, expect, it } from 'vitest';
import { OffsetMeter } from '../../../edge/clock/offset-meter.ts';

/** An edge whose record time runs at the monotonic clock, and a store elsewhere in time; a test moves both. */
class Bench {
  ms = 0;
  connected = true;
  /** UTC of the store when record time is 0. */
  storeAtZeroMs = 1_800_000_000_000;
  readonly asked: number[] = [];
  readonly meter = new OffsetMeter({
    stores: ['truck'],
    monotonicMs: () => this.ms,
    recordNowMs: () => this.ms,
    ask: id => {
      if (this.connected) this.asked.push(id);
      return this.connected;
    },
  });

  /** Asks; the question takes `thereMs`, the store `holdMs`, the answer `backMs`. */
  exchange(
    thereMs: number,
    holdMs: number,
    backMs: number,
    changes: { store?: string; id?: number } = {},
  ): boolean {
    this.meter.tick();
    const receivedMs = this.storeAtZeroMs + this.ms + thereMs;
    this.ms += thereMs + holdMs + backMs;
    const id = changes.id ?? this.asked.at(-1)!;
    const store = changes.store ?? 'truck';
    return this.meter.answer({ origin: 'simulated', store, id, receivedMs, sentMs: receivedMs + holdMs });
  }
}

let bench = new Bench();
beforeEach(() => {
  bench = new Bench();
});

describe('the clock of a store, measured', () => {
  // RFC 5905 section 8: theta = ((T2 − T1) + (T3 − T4)) / 2, delta = (T4 − T1) − (T3 − T2).
  it('is exact over a line that takes as long there as back', () => {
    expect(bench.exchange(20, 7, 20)).toBe(true);
    expect(bench.meter.best()).toMatchObject({ storeMinusRecordMs: 1_800_000_000_000, uncertaintyMs: 20 });
  });

  it('is wrong by no more than half of the round trip over one that does not', () => {
    bench.exchange(1, 0, 99);
    const { storeMinusRecordMs, uncertaintyMs } = bench.meter.best()!;
    expect(uncertaintyMs).toBe(50);
    expect(Math.abs(storeMinusRecordMs - 1_800_000_000_000)).toBe(49);
  });

  it('is taken from the quickest of the last answers', () => {
    for (const [there, back] of [
      [100, 10],
      [5, 5],
      [200, 1],
    ] as const) {
      bench.exchange(there, 0, back);
      bench.ms += 10_000;
    }
    expect(bench.meter.best()?.storeMinusRecordMs).toBe(1_800_000_000_000);
    expect(bench.meter.best()?.uncertaintyMs).toBeGreaterThan(5);
    expect(bench.meter.best()?.uncertaintyMs).toBeLessThan(7);
  });

  it('is not known before an answer, nor long after the last', () => {
    expect(bench.meter.best()).toBeNull();
    bench.exchange(1, 1, 1);
    bench.ms += 599_000;
    expect(bench.meter.best()).not.toBeNull();
    bench.ms += 2000;
    expect(bench.meter.best()).toBeNull();
  });
});

describe('what is not an answer', () => {
  it.each([
    ['of a store that is not required', { store: 'stranger' }],
    ['to a question that was not asked', { id: 99 }],
  ])('%s', (_what, changes) => {
    expect(bench.exchange(1, 1, 1, changes)).toBe(false);
    expect(bench.meter.best()).toBeNull();
  });

  it('a second one, one that is late, and one from before the question', () => {
    expect(bench.exchange(1, 1, 1)).toBe(true);
    expect(bench.meter.answer({ origin: 'real', store: 'truck', id: 1, receivedMs: 5, sentMs: 6 })).toBe(
      false,
    );
    bench.ms += 10_000;
    expect(bench.exchange(4000, 0, 1001)).toBe(false);
    bench.ms += 10_000;
    expect(bench.exchange(-5, 20, -5)).toBe(false);
  });
});

it('asks three times quickly, then every ten seconds, and not without a connection', () => {
  bench.connected = false;
  bench.meter.tick();
  bench.connected = true;
  const times: number[] = [];
  for (; bench.ms < 40_000; bench.ms += 500) {
    const { length } = bench.asked;
    bench.meter.tick();
    if (bench.asked.length === length) continue;
    times.push(bench.ms);
    bench.meter.answer({ origin: 'real', store: 'truck', id: bench.asked.at(-1)!, receivedMs: 1, sentMs: 1 });
  }
  expect(times).toEqual([0, 1000, 2000, 12_000, 22_000, 32_000]);
});
