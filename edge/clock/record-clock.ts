/**
 * Record time: integer µs, anchored once at start and from then on driven by the monotonic clock only. It never jumps
 * and never repeats along a stream. `utcMinusRecordMs` maps it to the wall clock as known now; arc times never touch
 * the wall clock.
 *
 * The anchor of a new store is the wall clock. Else it is the last stored record time and how long the edge was away:
 * - within one boot of the machine by its monotonic clock;
 * - after a boot by the wall clock, or the wall clock itself where that is later;
 * - where that is behind what was stored nobody knows: then longer than an arc is taken to go on (docs/engine.md).
 */
import type { Clock, ClockState } from '#core/messages/common';
import type { StatePatch } from '../outbox/outbox-types.ts';

/** A wall clock that moved by more than this against the monotonic one was stepped, ms. */
const STEP_MS = 100;
/** Below this the map is left alone, so that stamps do not jitter with the wall clock's resolution, ms. */
const SETTLE_MS = 5;
/** Stands for a time away of which nothing is known; least for one that is known, µs. */
export const UNKNOWN_AWAY_US = 20_000_000;
const LEAST_AWAY_US = 1000;

const MARK = 'clockMark';

export interface TimeSources {
  /** Monotonic nanoseconds. */
  readonly monotonicNs: () => bigint;
  /** Wall clock, ms since 1970. */
  readonly wallMs: () => number;
  /** Whether the wall clock is kept by a time service. */
  readonly syncState: () => ClockState;
  /** UTC of a store minus record time, ms, where it was measured (offset-meter.ts). */
  readonly storeMinusRecordMs?: () => number | null;
  /** Of the machine's running since it was switched on: within it monotonic times compare. Null where it does not say. */
  readonly bootId?: string | null;
}

export interface StoredTimes {
  /** Newest record time in the store, µs; null in a new store. */
  readonly lastRecordUs: number | null;
  /** Newest UTC in the store, ms; the floor for a board that starts without the time. */
  readonly lastUtcMs: number | null;
  /** With what mark() gave to be kept. */
  readonly state?: Readonly<Record<string, string>>;
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
  /** To be kept with what is stored now: what the next start within this boot needs. */
  mark(): StatePatch;
  /** False: how long the edge was away before this start nobody knows. True in a new store. */
  readonly awayKnown: boolean;
}

export function createRecordClock(sources: TimeSources, stored: StoredTimes): RecordClock {
  const startNs = sources.monotonicNs();
  const { anchorUs, awayKnown } = anchorOf(sources, stored, startNs);
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
    mark: () => (sources.bootId ? { [MARK]: `${sources.bootId} ${sources.monotonicNs()}` } : {}),
    awayKnown,
  };
}

function anchorOf(
  { wallMs, bootId }: TimeSources,
  { lastRecordUs, lastUtcMs, state }: StoredTimes,
  startNs: bigint,
): { anchorUs: number; awayKnown: boolean } {
  const wallUs = Math.round(wallMs() * 1000);
  if (lastRecordUs === null) return { anchorUs: wallUs, awayKnown: true };
  const after = (awayUs: number): number => lastRecordUs + Math.max(LEAST_AWAY_US, awayUs);
  const [markedBoot, markedNs] = state?.[MARK]?.split(' ') ?? [];
  if (bootId && markedBoot === bootId && /^\d+$/.test(markedNs ?? '')) {
    const awayUs = Number((startNs - BigInt(markedNs!)) / 1000n);
    if (awayUs >= 0) return { anchorUs: after(awayUs), awayKnown: true };
  }
  const awayUs = lastUtcMs === null ? -1 : wallUs - lastUtcMs * 1000;
  const awayKnown = awayUs >= 0;
  return { anchorUs: Math.max(wallUs, after(awayKnown ? awayUs : UNKNOWN_AWAY_US)), awayKnown };
}
