import { describe, expect, it } from 'vitest';
import type { AlarmDesk } from '../../../dashboard/server/alarms/alarm-desk.ts';
import { InternalWatch } from '../../../dashboard/server/alarms/internal-watch.ts';
import { TellLimiter } from '../../../dashboard/server/broker/tell-limiter.ts';

function watched() {
  const raised: { identity: string; about: Record<string, unknown> }[] = [];
  const cleared: string[] = [];
  let nowMs = 0;
  const desk = {
    raise: (alarm: (typeof raised)[number]) => raised.push(alarm),
    clear: (identity: string) => cleared.push(identity),
    takeAll: () => {},
  } as unknown as AlarmDesk;
  const watch = new InternalWatch({ desk, now: () => new Date(0), monotonicMs: () => nowMs });
  const pass = (ms: number): void => {
    nowMs += ms;
    watch.tick();
  };
  return { watch, raised, cleared, pass };
}

describe('alarms of machines', () => {
  it('name who tried to speak as whom, with high priority, and end a minute after the last try', async () => {
    const { watch, raised, cleared, pass } = watched();
    watch.onEvent('machineTrespassed', {
      ...{ site: 'spread-1', rig: 'rig-b', identity: 'spread-1/rig-b' },
      ...{ what: 'publish', name: 'girthlog/1/spread-1/rig-a/record' },
    });
    await Promise.resolve();
    expect(raised).toHaveLength(1);
    expect(raised[0]?.about).toMatchObject({
      site: 'spread-1',
      rig: 'rig-b',
      cause: 'machineTrouble',
      priority: 'high',
      text: 'spread-1/rig-b tried to speak on girthlog/1/spread-1/rig-a/record, which is not its own: it was refused.',
    });
    pass(59_000);
    expect(cleared).toEqual([]);
    pass(2000);
    expect(cleared).toEqual([raised[0]?.identity]);
  });

  it('of strangers stand together under no rig, whatever name they give', async () => {
    const { watch, raised } = watched();
    for (let n = 0; n < 500; n++) watch.onEvent('machineRefused', { identity: `${'x'.repeat(400)}${n}` });
    await Promise.resolve();
    expect(new Set(raised.map(({ identity }) => identity)).size).toBe(1);
    expect(raised[0]?.about).toMatchObject({ site: null, rig: null, priority: 'medium' });
    expect(String(raised[0]?.about['text']).length).toBeLessThanOrEqual(300);
  });
});

describe('reports of the broker', () => {
  it('come at most once a second of one kind, and their counts add up', () => {
    let nowMs = 0;
    const told: { report: string; count: number }[] = [];
    const limiter = new TellLimiter<string>(
      (report, count) => told.push({ report, count }),
      () => nowMs,
    );
    for (let n = 0; n < 2500; n++) {
      limiter.say('a', 'a');
      nowMs += 1;
    }
    limiter.flush();
    nowMs += 2000;
    limiter.flush();
    expect(told.length).toBeLessThanOrEqual(5);
    expect(told.reduce((sum, { count }) => sum + count, 0)).toBe(2500);
  });

  it('under ten thousand names are a few hundred a second, and lose no count', () => {
    const told: number[] = [];
    let nowMs = 0;
    const limiter = new TellLimiter<string>(
      (_report, count) => told.push(count),
      () => nowMs,
    );
    for (let n = 0; n < 10_000; n++) {
      limiter.say(`name ${n}`, 'x');
    }
    expect(told.length).toBeLessThanOrEqual(257);
    nowMs += 2000;
    limiter.flush();
    expect(told.reduce((sum, count) => sum + count, 0)).toBe(10_000);
  });
});
