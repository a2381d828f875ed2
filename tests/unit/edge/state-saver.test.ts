import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { type StatePatch, StoreError } from '../../../edge/outbox/outbox-types.ts';
import { StateSaver } from '../../../edge/outbox/state-saver.ts';

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

function setUp(answers: readonly (StoreError | null)[]) {
  const saved: StatePatch[] = [];
  const failed: unknown[] = [];
  const left = [...answers];
  const saver = new StateSaver(
    {
      saveState: patch => {
        const error = left.shift() ?? null;
        if (error) return Promise.reject(error);
        saved.push(patch);
        return Promise.resolve();
      },
    },
    error => failed.push(error),
  );
  return { saver, saved, failed };
}

test('on a full disk it tries again, and what is newest is what is kept', async () => {
  const { saver, saved, failed } = setUp([new StoreError('full', ''), new StoreError('full', '')]);
  saver.save({ assignment: 'a', gone: 'x' });
  await vi.advanceTimersByTimeAsync(500);
  saver.save({ assignment: 'b', gone: null });
  await vi.advanceTimersByTimeAsync(1499);
  expect(saved).toEqual([]);
  await vi.advanceTimersByTimeAsync(1000);
  expect(saved).toEqual([{ assignment: 'b', gone: null }]);
  expect(failed).toEqual([]);
});

test('a store that has failed is told of', async () => {
  const broken = new StoreError('failed', 'an error of the medium');
  const { saver, failed } = setUp([broken]);
  saver.save({ assignment: 'a' });
  await vi.advanceTimersByTimeAsync(0);
  expect(failed).toEqual([broken]);
});
