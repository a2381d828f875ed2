import { expect, it } from 'vitest';
import { OneAtATime } from '../../../dashboard/server/export/one-at-a-time.ts';

it('does one after the other, in order, also after one that failed, and lets only so many wait', async () => {
  const queue = new OneAtATime(2);
  const running: string[] = [];
  let most = 0;
  const work =
    (name: string, fails = false) =>
    async (): Promise<string> => {
      running.push(name);
      most = Math.max(most, running.length);
      await new Promise(resolve => setImmediate(resolve));
      running.pop();
      if (fails) throw new Error(name);
      return name;
    };
  const first = queue.run(work('a'));
  const second = queue.run(work('b', true));
  const third = queue.run(work('c'));
  expect(queue.run(work('d'))).toBeNull();
  expect(await first).toBe('a');
  await expect(second).rejects.toThrow('b');
  expect(await third).toBe('c');
  expect(most).toBe(1);
  expect(await queue.run(work('e'))).toBe('e');
});
