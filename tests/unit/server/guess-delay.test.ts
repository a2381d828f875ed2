import { describe, expect, it } from 'vitest';
import { GuessDelay } from '../../../dashboard/server/auth/guess-delay.ts';

const wrong = async (): Promise<boolean> => false;
const right = async (): Promise<boolean> => true;

describe('after a wrong secret', () => {
  it('the next try waits twice as long each time, up to half a minute, and a right one ends it', async () => {
    let now = 0;
    const delay = new GuessDelay(() => now);
    const keys = [{ key: 'a', free: 0 }];
    const waits: number[] = [];
    for (let n = 0; n < 8; n++) {
      expect(await delay.try(keys, wrong)).toBe('wrong');
      const answer = await delay.try(keys, right);
      if (typeof answer === 'string') throw new Error('it was looked at');
      waits.push(answer.waitS);
      now += answer.waitS * 1000;
    }
    expect(waits).toEqual([1, 2, 4, 8, 16, 30, 30, 30]);
    expect(await delay.try(keys, right)).toBe('right');
    expect(await delay.try(keys, wrong)).toBe('wrong');
    now += 1000;
    expect(await delay.try(keys, right)).toBe('right');
  });

  it('others do not wait, and an address has some to spare', async () => {
    const delay = new GuessDelay(() => 0);
    const address = { key: 'address', free: 3 };
    for (const name of ['a', 'b', 'c', 'd']) {
      expect(await delay.try([{ key: name, free: 0 }, address], wrong)).toBe('wrong');
    }
    expect(await delay.try([{ key: 'e', free: 0 }, address], right)).toEqual({ waitS: 1 });
    expect(await delay.try([{ key: 'e', free: 0 }], right)).toBe('right');
  });

  it('of many at once one is looked at', async () => {
    const delay = new GuessDelay(() => 0);
    let looked = 0;
    const slow = async (): Promise<boolean> => {
      looked++;
      await Promise.resolve();
      return false;
    };
    const answers = await Promise.all(
      Array.from({ length: 20 }, () => delay.try([{ key: 'a', free: 0 }], slow)),
    );
    expect(looked).toBe(1);
    expect(answers.filter(answer => answer === 'wrong')).toHaveLength(1);
  });

  it('what is remembered stays bounded', async () => {
    const delay = new GuessDelay(() => 0);
    for (let n = 0; n < 10_500; n++) await delay.try([{ key: `name ${n}`, free: 0 }], wrong);
    // The first was forgotten, the last was not.
    expect(await delay.try([{ key: 'name 0', free: 0 }], right)).toBe('right');
    expect(await delay.try([{ key: 'name 10499', free: 0 }], right)).toEqual({ waitS: 1 });
  });
});
