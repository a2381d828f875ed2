import { describe, expect, it } from 'vitest';
import type { ClockState } from '#core/messages/common';
import { createRecordClock, type StoredTimes } from '../../../edge/clock/record-clock.ts';
import { SyncWatch } from '../../../edge/clock/sync-watch.ts';

const T0 = Date.UTC(2026, 5, 1, 8, 0, 0);
const NOTHING_STORED: StoredTimes = { lastRecordUs: null, lastUtcMs: null };

/** A wall clock and a monotonic clock that a test moves by hand. */
function clocks(wallMs: number) {
  const time = { wallMs, monotonicNs: 5_000_000_000n, state: 'synced' as ClockState };
  return {
    time,
    sources: {
      monotonicNs: () => time.monotonicNs,
      wallMs: () => time.wallMs,
      syncState: () => time.state,
    },
    pass(ms: number) {
      time.monotonicNs += BigInt(Math.round(ms * 1e6));
      time.wallMs += ms;
    },
  };
}

describe('record time', () => {
  it('begins at the wall clock and counts whole microseconds', () => {
    const { sources, pass } = clocks(T0);
    const clock = createRecordClock(sources, NOTHING_STORED);
    expect(clock.nowUs()).toBe(T0 * 1000);
    pass(1.234_567);
    expect(clock.nowUs()).toBe(T0 * 1000 + 1234);
    expect(clock.utcOf(clock.nowUs())).toBe('2026-06-01T08:00:00.001Z');
  });

  it('begins after everything stored, even when the wall clock is behind, by more than an arc outlasts', () => {
    const stored = { lastRecordUs: T0 * 1000 + 500, lastUtcMs: T0 };
    const { sources, time } = clocks(T0 - 86_400_000);
    time.state = 'synced';
    const clock = createRecordClock(sources, stored);
    // How long the edge was away nobody knows: longer than the 15 s after which an arc is not taken to have gone on.
    expect(clock.nowUs()).toBe(T0 * 1000 + 500 + 20_000_000);
    expect(clock.awayKnown).toBe(false);
    // The map, not record time, carries the day's difference.
    expect(clock.utcOf(clock.nowUs())).toBe('2026-05-31T08:00:00.000Z');
  });

  it('goes on by the wall clock where record time is ahead of it', () => {
    // A fast device had put its samples seven minutes ahead; the edge was away for five.
    const stored = { lastRecordUs: (T0 + 420_000) * 1000, lastUtcMs: T0 };
    const clock = createRecordClock(clocks(T0 + 300_000).sources, stored);
    expect(clock.nowUs()).toBe((T0 + 420_000 + 300_000) * 1000);
    expect(clock.awayKnown).toBe(true);
    expect(clock.utcOf(clock.nowUs())).toBe(new Date(T0 + 300_000).toISOString());
  });

  it('within one boot goes on as if nothing had ended, whatever the wall clock was set to', () => {
    for (const wallMs of [1000, T0 - 3_600_000, T0 + 3_600_000]) {
      const first = clocks(T0);
      const before = createRecordClock({ ...first.sources, bootId: 'b1' }, NOTHING_STORED);
      first.pass(60_000);
      const state = before.mark() as Record<string, string>;
      const stored = { lastRecordUs: before.nowUs(), lastUtcMs: T0 + 60_000, state };
      first.pass(2000);
      first.time.wallMs = wallMs;
      const after = createRecordClock({ ...first.sources, bootId: 'b1' }, stored);
      expect(after.nowUs()).toBe((T0 + 62_000) * 1000);
      expect(after.awayKnown).toBe(true);
      // Another boot has another monotonic clock: only the wall clock can tell.
      const rebooted = createRecordClock({ ...first.sources, bootId: 'b2' }, stored);
      expect(rebooted.nowUs()).toBe(Math.max((T0 + 80_000) * 1000, wallMs * 1000));
      expect(rebooted.awayKnown).toBe(wallMs > T0);
    }
  });

  it('marks nothing where the machine does not say which boot it is', () => {
    expect(createRecordClock(clocks(T0).sources, NOTHING_STORED).mark()).toEqual({});
  });

  it.each([3_600_000, -86_400_000, -T0])('does not move when the wall clock is stepped by %d ms', byMs => {
    const { sources, time, pass } = clocks(T0);
    const clock = createRecordClock(sources, NOTHING_STORED);
    pass(1000);
    const before = clock.nowUs();
    time.wallMs += byMs;
    pass(1000);
    expect(clock.nowUs() - before).toBe(1_000_000);
    expect(clock.check()).toEqual({ atUs: clock.nowUs(), byMs });
    expect(clock.check()).toBeNull();
    expect(clock.utcOf(clock.nowUs())).toBe(new Date(T0 + 2000 + byMs).toISOString());
  });

  it('follows a wall clock that is slewed without calling it a step', () => {
    const { sources, time, pass } = clocks(T0);
    const clock = createRecordClock(sources, NOTHING_STORED);
    for (let i = 0; i < 10; i++) {
      pass(1000);
      time.wallMs += 20;
      expect(clock.check()).toBeNull();
    }
    expect(clock.utcOf(clock.nowUs())).toBe(new Date(T0 + 10_200).toISOString());
  });

  it('takes the newest stored time as floor while a board starts without the time, and lets go when it is set', () => {
    const { sources, time, pass } = clocks(1000);
    time.state = 'unsynced';
    const clock = createRecordClock(sources, { lastRecordUs: T0 * 1000, lastUtcMs: T0 });
    pass(60_000);
    expect(clock.state()).toBe('unsynced');
    expect(clock.utcOf(clock.nowUs())).toBe(new Date(T0 + 60_000).toISOString());
    expect(clock.check()).toBeNull();
    time.wallMs = T0 + 3_600_000;
    time.state = 'synced';
    expect(clock.check()?.byMs).toBeCloseTo(3_600_000 - 60_000, -2);
    expect(clock.utcOf(clock.nowUs())).toBe(new Date(T0 + 3_600_000).toISOString());
  });
});

describe('the state of the wall clock', () => {
  const answers = (kernel: (boolean | null)[], wasSet: boolean) => {
    let i = 0;
    return new SyncWatch({
      kernelSynced: () => Promise.resolve(kernel[i++] ?? null),
      wasSet: () => Promise.resolve(wasSet),
    });
  };

  it('is unsynced when nobody can say', async () => {
    const watch = answers([null, false], false);
    await watch.ask();
    await watch.ask();
    expect(watch.state()).toBe('unsynced');
  });

  it('is synced while the kernel says so and holdover after', async () => {
    const watch = answers([true, false, null, true], false);
    const seen: ClockState[] = [];
    for (let i = 0; i < 4; i++) {
      await watch.ask();
      seen.push(watch.state());
    }
    expect(seen).toEqual(['synced', 'holdover', 'holdover', 'synced']);
  });

  it('is holdover when it was set since boot', async () => {
    const watch = answers([false], true);
    await watch.ask();
    expect(watch.state()).toBe('holdover');
  });
});
