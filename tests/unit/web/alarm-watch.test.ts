import { describe, expect, it } from 'vitest';
import type { Pulse } from '#core/alarm/alarm-sound';
import type { AlarmPicture } from '#core/messages/api-alarm';
import { AlarmStore, listed, waitsForArc } from '../../../dashboard/web/data/alarm-store.ts';
import { AlarmWatch } from '../../../dashboard/web/data/alarm-watch.ts';
import type { SoundOutput } from '../../../dashboard/web/data/sound-output.ts';
import { fakeAlarm, fakeNoData, fakePicture } from '../../support/fake-alarms.ts';

class Loudspeaker implements SoundOutput {
  isAvailable = true;
  isRunning = false;
  readonly played: number[] = [];
  async start(): Promise<void> {
    this.isRunning = true;
  }
  async stop(): Promise<void> {
    this.isRunning = false;
  }
  play(pulses: readonly Pulse[]): void {
    this.played.push(pulses.length);
  }
}

function bench(picture: AlarmPicture | null = fakePicture([])) {
  const store = new AlarmStore();
  const speaker = new Loudspeaker();
  const now = { ms: 0 };
  const watch = new AlarmWatch(store, speaker, () => now.ms);
  store.onLink('open');
  if (picture) store.onEvent('alarms', picture);
  const wait = (seconds: number): void => {
    for (let i = 0; i < seconds * 10; i++) {
      now.ms += 100;
      watch.tick();
    }
  };
  return { store, speaker, watch, wait };
}

describe('listening on a device', () => {
  it('begins with a tap and one pulse; until then nothing sounds', async () => {
    const { store, speaker, watch, wait } = bench();
    store.onEvent('alarms', fakePicture([fakeNoData(1)]));
    wait(30);
    expect(speaker.played).toEqual([]);
    await watch.start();
    wait(5);
    expect(speaker.played).toEqual([1, 5]);
    expect(watch.sound.value).toBe('on');
    await watch.stop();
    wait(30);
    expect(speaker.played).toEqual([1, 5]);
    expect(watch.sound.value).toBe('off');
  });

  it('says when the browser has stopped the sound, and when there is none', async () => {
    const { speaker, watch, wait } = bench();
    await watch.start();
    speaker.isRunning = false;
    wait(1);
    expect(watch.sound.value).toBe('lost');
    await watch.start();
    expect(watch.sound.value).toBe('on');
    const silent = new Loudspeaker();
    silent.isAvailable = false;
    const other = new AlarmWatch(new AlarmStore(), silent, () => 0);
    await other.start();
    expect([other.sound.value, silent.played]).toEqual(['unavailable', []]);
  });

  it('a mute counts down where it can be seen', async () => {
    const { store, speaker, watch, wait } = bench();
    await watch.start();
    store.onEvent('alarms', fakePicture([fakeNoData(1)]));
    wait(1);
    watch.mute();
    expect(watch.muteLeftS.value).toBe(120);
    wait(60);
    expect(watch.muteLeftS.value).toBe(60);
    expect(speaker.played).toEqual([1, 5]);
    watch.unmute();
    expect(watch.muteLeftS.value).toBeNull();
    wait(0.1);
    expect(speaker.played).toEqual([1, 5, 5]);
  });

  it('a dashboard that restarts and says the same again is heard no second time', async () => {
    const { store, speaker, watch, wait } = bench();
    await watch.start();
    const picture = fakePicture([fakeAlarm(1), fakeAlarm(2, { rig: 'rig-3' })]);
    store.onEvent('alarms', picture);
    wait(15);
    store.onLink('down');
    wait(5);
    store.onLink('open');
    store.onEvent('alarms', picture);
    wait(30);
    expect(speaker.played).toEqual([1, 3]);
  });

  it('a new store counts from the beginning, and what it announces is heard', async () => {
    const { store, speaker, watch, wait } = bench(fakePicture([fakeAlarm(500)]));
    await watch.start();
    wait(15);
    store.onEvent('alarms', fakePicture([]));
    wait(1);
    store.onEvent('alarms', fakePicture([fakeAlarm(1)]));
    wait(1);
    expect(speaker.played).toEqual([1, 3]);
  });

  it('without the server for 10 s that is told, once', async () => {
    const { store, speaker, watch, wait } = bench();
    await watch.start();
    store.onLink('down');
    wait(9.5);
    expect(speaker.played).toEqual([1]);
    wait(60);
    expect(speaker.played).toEqual([1, 3]);
    store.onLink('open');
    wait(1);
    store.onLink('down');
    wait(30);
    expect(speaker.played).toEqual([1, 3, 3]);
  });

  it('what is put away makes no sound', async () => {
    const { store, speaker, watch, wait } = bench();
    await watch.start();
    const quiet = (['shelved', 'outOfService', 'suppressedByDesign'] as const).map((availability, i) =>
      fakeNoData(i + 1, { availability }),
    );
    store.onEvent('alarms', fakePicture(quiet));
    wait(30);
    expect(speaker.played).toEqual([1]);
  });
});

describe('what is listed', () => {
  const picture = fakePicture([
    fakeAlarm(1),
    fakeAlarm(2, { availability: 'shelved' }),
    fakeAlarm(3, { availability: 'suppressedByDesign' }),
    fakeAlarm(4, { availability: 'suppressedByDesign', lifecycle: 'rtnUnacked' }),
    fakeAlarm(5, { availability: 'outOfService', lifecycle: 'acked' }),
  ]);

  it('is in service, or over and unanswered; what waits for an arc is counted', () => {
    expect(listed(picture).map(({ alarm }) => alarm)).toEqual([1, 4]);
    expect(waitsForArc(picture)).toBe(1);
  });

  it('the answer to an action does not undo a newer picture', () => {
    const store = new AlarmStore();
    const newer = { ...picture, serverUtc: '2026-05-12T14:03:01.000Z' };
    store.onEvent('alarms', newer);
    store.take(picture);
    expect(store.picture.value).toBe(newer);
    const newest = { ...picture, serverUtc: '2026-05-12T14:03:02.000Z' };
    store.take(newest);
    expect(store.picture.value).toBe(newest);
  });
});
