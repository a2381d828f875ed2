import { beforeEach, expect, it } from 'vitest';
import { type ClockMapRow, clockMapRowSchema } from '#core/messages/clock-map';
import type { ClockState } from '#core/messages/common';
import { ClockKeeper } from '../../../edge/clock/clock-keeper.ts';
import { createEdgeClock, type EdgeClock } from '../../../edge/clock/edge-clock.ts';

const T0 = Date.UTC(2026, 5, 1);

let ms = 0;
let wallMs = 0;
let state: ClockState = 'synced';
let rows: ClockMapRow[] = [];
let steps: number[] = [];
let texts: string[] = [];
let edge: EdgeClock;
let keeper: ClockKeeper;

function start(storedUtcMs: number | null = null): void {
  edge = createEdgeClock(
    {
      monotonicNs: () => BigInt(Math.round(ms * 1e6)),
      wallMs: () => wallMs,
      syncState: () => state,
    },
    { lastRecordUs: storedUtcMs === null ? null : storedUtcMs * 1000, lastUtcMs: storedUtcMs },
    { stores: ['truck'], monotonicMs: () => ms, ask: () => true },
  );
  keeper = new ClockKeeper({
    ...edge,
    events: { emit: () => undefined, counters: () => ({}) },
    add: row => rows.push(clockMapRowSchema.parse(row)),
    tell: event => {
      texts.push(event.text);
      steps.push(Number(event.data['byMs']));
    },
  });
  keeper.tick();
}

function run(seconds: number): void {
  for (let i = 0; i < seconds; i++) {
    ms += 1000;
    wallMs += 1000;
    keeper.tick();
  }
}

beforeEach(() => {
  ms = 0;
  wallMs = T0;
  state = 'synced';
  rows = [];
  steps = [];
  texts = [];
});

it('writes a row at the start and each minute', () => {
  start();
  run(150);
  expect(rows.map(({ cause, recordUs }) => [cause, (recordUs - T0 * 1000) / 1e6])).toEqual([
    ['start', 0],
    ['minute', 60],
    ['minute', 120],
  ]);
  expect(rows[0]).toMatchObject({ utcMinusRecordMs: 0, state: 'synced', offsetMs: null });
});

it('writes a row at every step of more than 100 ms, tells it, and at none below', () => {
  start();
  run(5);
  wallMs += 99;
  run(1);
  wallMs += 3_600_000;
  run(1);
  wallMs -= 86_400_000;
  run(1);
  expect(steps).toEqual([3_600_000, -86_400_000]);
  expect(rows.map(({ cause, utcMinusRecordMs }) => [cause, utcMinusRecordMs])).toEqual([
    ['start', 0],
    ['step', 3_600_099],
    ['step', 3_600_099 - 86_400_000],
  ]);
});

it('a board without a battery goes on from the last time it knew, unsynced, until the clock is set', () => {
  state = 'unsynced';
  wallMs = 0;
  start(T0);
  run(10);
  expect(rows).toMatchObject([{ cause: 'start', state: 'unsynced' }]);
  expect(texts).toEqual([
    'how long the edge was off is not known: the clock was behind what is stored; 20 s stand for it in the record',
  ]);
  const startUs = rows[0]!.recordUs;
  expect(edge.clock.utcOf(startUs).slice(0, 19)).toBe('2026-06-01T00:00:00');
  // The time service comes up and sets it: the moment of the start is known now.
  wallMs = T0 + 7_200_000 + 10_000;
  state = 'synced';
  run(1);
  expect(rows.at(-1)).toMatchObject({ cause: 'step', state: 'synced' });
  const utc = new Date(Math.floor(startUs / 1000) + rows.at(-1)!.utcMinusRecordMs).toISOString();
  expect(utc.slice(0, 19)).toBe('2026-06-01T02:00:00');
});

it('a clock that a time service lets go is a row of its own', () => {
  start();
  run(2);
  state = 'holdover';
  run(2);
  expect(rows.map(({ cause, state: is }) => [cause, is])).toEqual([
    ['start', 'synced'],
    ['state', 'holdover'],
  ]);
});

it('what a store answered stands beside everything stamped, as edge minus store, steps included', () => {
  start();
  expect(edge.clock.reading()).toEqual({ state: 'synced', offsetMs: null });
  // The store is 250 ms ahead of this edge.
  edge.meter.answer({ origin: 'real', store: 'truck', id: 1, receivedMs: T0 + 250, sentMs: T0 + 250 });
  expect(edge.clock.reading().offsetMs).toBe(-250);
  wallMs += 1000;
  keeper.tick();
  expect(edge.clock.reading().offsetMs).toBe(750);
});
