/** What a supervisor is told, after sd_notify(3) and sd_watchdog_enabled(3) of systemd. */
import { describe, expect, it } from 'vitest';
import { type ServiceEnvironment, ServiceNotifier, watchdogEveryMs } from '#core/program/service-notifier';

const SUPERVISED: ServiceEnvironment = {
  notifySocket: '/run/systemd/notify',
  watchdogUsec: '60000000',
  watchdogPid: '42',
};
const ALONE: ServiceEnvironment = {
  notifySocket: undefined,
  watchdogUsec: undefined,
  watchdogPid: undefined,
};

function setUp(environment: ServiceEnvironment, getsOn: () => Promise<boolean>) {
  const sent: string[] = [];
  const timers: { ms: number; task: () => void; ended: boolean }[] = [];
  const service = new ServiceNotifier({
    environment,
    pid: 42,
    send: states => sent.push(...states),
    every: (ms, task) => {
      const timer = { ms, task, ended: false };
      timers.push(timer);
      return () => {
        timer.ended = true;
      };
    },
    getsOn,
  });
  return { service, sent, timers };
}

const settled = (): Promise<void> => new Promise(resolve => setImmediate(resolve));

describe('the watchdog’s interval', () => {
  it('is a third of what the supervisor waits, and only for the process it is meant for', () => {
    expect(watchdogEveryMs(SUPERVISED, 42)).toBe(20_000);
    expect(watchdogEveryMs({ ...SUPERVISED, watchdogPid: undefined }, 42)).toBe(20_000);
    expect(watchdogEveryMs(SUPERVISED, 43)).toBeNull();
    expect(watchdogEveryMs({ ...SUPERVISED, watchdogUsec: undefined }, 42)).toBeNull();
    expect(watchdogEveryMs({ ...SUPERVISED, watchdogUsec: 'soon' }, 42)).toBeNull();
    expect(watchdogEveryMs(ALONE, 42)).toBeNull();
  });
});

describe('a service', () => {
  it('says that it is ready, gets on as long as it does, and stops', async () => {
    let getsOn = true;
    const { service, sent, timers } = setUp(SUPERVISED, async () => getsOn);
    service.ready('recording');
    expect(sent.splice(0)).toEqual(['READY=1', 'STATUS=recording']);
    const [timer] = timers;
    expect(timer?.ms).toBe(20_000);
    timer!.task();
    await settled();
    expect(sent.splice(0)).toEqual(['WATCHDOG=1']);
    getsOn = false;
    timer!.task();
    await settled();
    expect(sent).toEqual([]);
    service.stopping();
    expect(sent).toEqual(['STOPPING=1']);
    expect(timer?.ended).toBe(true);
  });

  it('is silent while the question is not answered, however often the clock strikes, and when it fails', async () => {
    let asked = 0;
    let answer: (() => void) | null = null;
    const { service, sent, timers } = setUp(SUPERVISED, () => {
      asked++;
      if (asked > 1) return Promise.reject(new Error('the store is gone'));
      return new Promise(resolve => {
        answer = () => resolve(true);
      });
    });
    service.ready('recording');
    sent.splice(0);
    for (let i = 0; i < 5; i++) timers[0]!.task();
    await settled();
    expect({ asked, sent }).toEqual({ asked: 1, sent: [] });
    answer!();
    await settled();
    expect(sent.splice(0)).toEqual(['WATCHDOG=1']);
    timers[0]!.task();
    await settled();
    expect({ asked, sent }).toEqual({ asked: 2, sent: [] });
  });

  it('says nothing to nobody', () => {
    const { service, sent, timers } = setUp(ALONE, async () => true);
    service.ready('recording');
    service.stopping();
    expect({ sent, timers }).toEqual({ sent: [], timers: [] });
  });
});
