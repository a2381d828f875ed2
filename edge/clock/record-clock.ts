/**
 * Record time: integer µs, anchored once at start to max(wall clock, last stored record time + 1 ms) and
 * from then on driven by the monotonic clock only. It never jumps and never repeats along a stream.
 * `utcMinusRecordMs` maps it to the wall clock as known now; arc times never touch the wall clock.
 */
import type { Clock, ClockState } from '#core/messages/common';

/** A wall clock that moved by more than this against the monotonic one was stepped, ms. */
const STEP_MS = 100;
/** Below this the map is left alone, so that stamps do not jitter with the wall clock's resolution, ms. */
const SETTLE_MS = 5;

export interface TimeSources {
  /** Monotonic nanoseconds. */
  readonly monotonicNs: () => bigint;
  /** Wall clock, ms since 1970. */
  readonly wallMs: () => number;
  /** Whether the wall clock is kept by a time service. */
  readonly syncState: () => ClockState;
  /** UTC of a store minus record time, ms, where it was measured (offset-meter.ts). */
  readonly storeMinusRecordMs?: () => number | null;
}

export interface StoredTimes {
  /** Newest record time in the store, µs; null in a new store. */
  readonly lastRecordUs: number | null;
  /** Newest UTC in the store, ms; the floor for a board that starts without the time. */
  readonly lastUtcMs: number | null;
}

export interface ClockStep {
  readonly atUs: number;
  readonly byMs: number;
}

export interface RecordClock {
  nowUs(): number;
  utcMinusRecordMs(): number;
  /** RFC 3339 UTC with milliseconds of a record time, by the map as known now. */
  utcOf(recordUs: number): string;
  state(): ClockState;
  /** What stands beside everything stamped: its state, and edge minus store where measured, ms to a tenth. */
  reading(): Clock;
  /** Compares the clocks; call about once a second. A step of more than 100 ms, or null. */
  check(): ClockStep | null;
}

export function createRecordClock(sources: TimeSources, stored: StoredTimes): RecordClock {
  const startNs = sources.monotonicNs();
  const anchorUs = Math.max(
    Math.round(sources.wallMs() * 1000),
    stored.lastRecordUs === null ? 0 : stored.lastRecordUs + 1000,
  );
  const elapsedUs = (): number => Number((sources.monotonicNs() - startNs) / 1000n);
  const nowUs = (): number => anchorUs + elapsedUs();

  /** The wall clock; while no time service vouches for it, never earlier than what was stored before. */
  function knownWallMs(): number {
    const wall = sources.wallMs();
    if (sources.syncState() === 'synced' || stored.lastUtcMs === null) return wall;
    return Math.max(wall, stored.lastUtcMs + elapsedUs() / 1000);
  }

  let offsetMs = Math.round(knownWallMs() - nowUs() / 1000);

  return {
    nowUs,
    utcMinusRecordMs: () => offsetMs,
    utcOf: recordUs => new Date(Math.floor(recordUs / 1000) + offsetMs).toISOString(),
    state: sources.syncState,
    reading() {
      const storeMs = sources.storeMinusRecordMs?.() ?? null;
      const offset = storeMs === null ? null : Math.round((offsetMs - storeMs) * 10) / 10;
      // A step that was not seen yet can make it anything; JSON has no negative zero.
      return { state: sources.syncState(), offsetMs: offset === 0 ? 0 : offset };
    },
    check() {
      const seen = Math.round(knownWallMs() - nowUs() / 1000);
      const byMs = seen - offsetMs;
      if (Math.abs(byMs) <= SETTLE_MS) return null;
      offsetMs = seen;
      return Math.abs(byMs) > STEP_MS ? { atUs: nowUs(), byMs } : null;
    },
  };
}
