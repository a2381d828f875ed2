import { expect, it } from 'vitest';
import { Progress } from '../../../dashboard/server/health/progress.ts';

it('is made while what waits for the store moves, or while it is known why it does not', () => {
  const state = { waiting: 0, settled: 0, paused: false };
  const progress = new Progress({
    checkStore: () => {},
    waitingRecords: () => state.waiting,
    settledRecords: () => state.settled,
    paused: () => state.paused,
  });
  expect(progress.getsOn()).toBe(true);
  Object.assign(state, { waiting: 5, settled: 3 });
  expect(progress.getsOn()).toBe(true);
  // Five wait, and none has been settled since.
  expect(progress.getsOn()).toBe(false);
  // The disk is full: every screen says so, and starting again would free nothing.
  state.paused = true;
  expect(progress.getsOn()).toBe(true);
  Object.assign(state, { paused: false, settled: 4 });
  expect(progress.getsOn()).toBe(true);
});

it('is not made with a store that cannot be read', () => {
  const progress = new Progress({
    checkStore: () => {
      throw new Error('gone');
    },
    waitingRecords: () => 0,
    settledRecords: () => 0,
    paused: () => true,
  });
  expect(() => progress.getsOn()).toThrow('gone');
});
