import { describe, expect, it } from 'vitest';
import {
  IDLE,
  isSameRun,
  pressed,
  type Run,
  stampOf,
} from '../../../dashboard/web/views/verify/run-clock.ts';

const WALL = Date.UTC(2026, 4, 12, 14);
const at = (monotonicMs: number, wallMs = WALL + monotonicMs) => ({ monotonicMs, wallMs });
const runFor = (ms: number, wallMs?: number): Run => pressed(pressed(IDLE, at(0)), at(ms, wallMs));

describe('the clock of a run', () => {
  it('counts what passed between the two touches', () => {
    expect(runFor(15_080)).toMatchObject({ kind: 'stopped', runS: 15.08, disagreementS: null });
  });

  it('takes a second touch at once for the bounce of a glove, at either end', () => {
    const running = runFor(300);
    expect(running.kind).toBe('running');
    const stopped = runFor(15_000);
    expect(pressed(stopped, at(15_100))).toBe(stopped);
  });

  it('says so when the device slept: the monotonic clock of some stands still meanwhile', () => {
    expect(runFor(4000, WALL + 15_000)).toMatchObject({ runS: 4, disagreementS: 11 });
    // The wall clock was set back instead: which of the two is right cannot be told either.
    expect(runFor(15_000, WALL + 14_000)).toMatchObject({ disagreementS: 1 });
    expect(runFor(15_000, WALL + 15_050)).toMatchObject({ disagreementS: null });
  });

  it('takes the moment of the touch, not of its handling', () => {
    expect(stampOf({ timeStamp: 980 }, at(1000))).toEqual({ monotonicMs: 980, wallMs: WALL + 980 });
    expect(stampOf({ timeStamp: WALL }, at(1000))).toEqual(at(1000));
  });
});

describe('a run the edge saw', () => {
  const seen = (fromMs: number, toMs: number) => ({
    startUtc: new Date(WALL + fromMs).toISOString(),
    endUtc: new Date(WALL + toMs).toISOString(),
  });
  it('is the one timed here when their times meet', () => {
    const run = runFor(15_000);
    expect(isSameRun(seen(-500, 14_800), run, WALL + 20_000)).toBe(true);
    expect(isSameRun(seen(-90_000, -60_000), run, WALL + 20_000)).toBe(false);
    expect(isSameRun(seen(60_000, 75_000), run, WALL + 80_000)).toBe(false);
  });
  it('has only to be new where nothing was timed here', () => {
    expect(isSameRun(seen(0, 15_000), IDLE, WALL + 60_000)).toBe(true);
    expect(isSameRun(seen(0, 15_000), IDLE, WALL + 400_000)).toBe(false);
  });
});
