import { describe, expect, it } from 'vitest';
import {
  armed,
  BURST_EVERY_MS,
  burstOf,
  disarmed,
  MUTE_MS,
  muted,
  SOUND_OFF,
  type SoundingAlarm,
  type SoundState,
  soundDue,
  unmuted,
} from '#core/alarm/alarm-sound';

const alarm = (
  priority: SoundingAlarm['priority'],
  announcement: number,
  lifecycle: SoundingAlarm['lifecycle'] = 'unacked',
): SoundingAlarm => ({ priority, lifecycle, announcement });

/** Asks ten times a second from `fromMs` on for `seconds`; the bursts with their times in s. */
function listen(state: SoundState, alarms: readonly SoundingAlarm[], seconds: number, fromMs = 0) {
  const bursts: string[] = [];
  let now = state;
  for (let ms = fromMs; ms < fromMs + seconds * 1000; ms += 100) {
    const due = soundDue(now, alarms, ms);
    now = due.state;
    if (due.burst) bursts.push(`${due.burst} ${ms / 1000}`);
  }
  return { bursts, state: now };
}

const listening = armed(SOUND_OFF, []);

describe('the sound of alarms', () => {
  it('is five pulses for HIGH, three for MEDIUM, none for LOW, over long before the next burst', () => {
    expect([burstOf('high').length, burstOf('medium').length, burstOf('low').length]).toEqual([5, 3, 0]);
    for (const pulses of [burstOf('high'), burstOf('medium')]) {
      const last = pulses.at(-1)!;
      expect(last.startMs + last.lengthMs).toBeLessThan(BURST_EVERY_MS / 2);
      for (let i = 1; i < pulses.length; i++) {
        expect(pulses[i]!.startMs).toBeGreaterThan(pulses[i - 1]!.startMs + pulses[i - 1]!.lengthMs);
      }
    }
  });

  it('HIGH comes again every 10 s until acknowledged, MEDIUM once, LOW never', () => {
    expect(listen(listening, [alarm('high', 1)], 25).bursts).toEqual(['high 0', 'high 10', 'high 20']);
    expect(listen(listening, [alarm('medium', 1)], 25).bursts).toEqual(['medium 0']);
    expect(listen(listening, [alarm('low', 1)], 25).bursts).toEqual([]);
  });

  it.each(['acked', 'rtnUnacked', 'latched', 'normal'] as const)('%s is silent', lifecycle => {
    expect(listen(listening, [alarm('high', 1, lifecycle)], 25).bursts).toEqual([]);
  });

  it('one burst in 10 s over all sides, of the most urgent; the rest is heard with it', () => {
    const many = [alarm('medium', 1), alarm('high', 2), alarm('medium', 3), alarm('high', 4)];
    expect(listen(listening, many, 9).bursts).toEqual(['high 0']);
    // Acknowledging the HIGH ones does not bring the MEDIUM ones out one after the other.
    const { state } = listen(listening, many, 1);
    const after = [
      alarm('medium', 1),
      alarm('high', 2, 'acked'),
      alarm('medium', 3),
      alarm('high', 4, 'acked'),
    ];
    expect(listen(state, after, 30, 1000).bursts).toEqual([]);
  });

  it('MEDIUM within 10 s of a burst waits for its turn', () => {
    const { state } = listen(listening, [alarm('medium', 1)], 3);
    expect(listen(state, [alarm('medium', 1), alarm('medium', 2)], 20, 3000).bursts).toEqual(['medium 10']);
  });

  it('beginning to listen, or opening the page anew, sounds nothing that was announced before but HIGH that goes on', () => {
    const before = [alarm('medium', 7), alarm('medium', 8), alarm('low', 9)];
    expect(listen(armed(SOUND_OFF, before), before, 30).bursts).toEqual([]);
    expect(listen(armed(SOUND_OFF, before), [...before, alarm('medium', 10)], 30).bursts).toEqual([
      'medium 0',
    ]);
    const high = [...before, alarm('high', 6)];
    expect(listen(armed(SOUND_OFF, high), high, 15).bursts).toEqual(['high 0', 'high 10']);
  });

  it('off is silent, and what was announced meanwhile stays so', () => {
    const quiet = listen(disarmed(listening), [alarm('medium', 1), alarm('high', 2)], 30);
    expect(quiet.bursts).toEqual([]);
    expect(quiet.state.heardUpTo).toBe(2);
  });

  it('a mute has an end, and MEDIUM announced during it is heard then', () => {
    const first = [alarm('high', 1)];
    const { state } = listen(listening, first, 1);
    const quiet = muted(state, first, 1000);
    expect(quiet.muteUntilMs).toBe(1000 + MUTE_MS);
    const acked = [alarm('high', 1, 'acked'), alarm('medium', 2)];
    const heard = listen(quiet, acked, MUTE_MS / 1000 + 20, 1000);
    expect(heard.bursts).toEqual([`medium ${(1000 + MUTE_MS) / 1000}`]);
    expect(heard.state.muteUntilMs).toBeNull();
    expect(listen(unmuted(quiet), first, 15, 1000).bursts).toEqual(['high 10']);
  });

  it('a HIGH alarm announced after the mute ends it; the one that was muted does not', () => {
    const first = [alarm('high', 1)];
    const quiet = muted(listen(listening, first, 1).state, first, 1000);
    expect(listen(quiet, first, 60, 1000).bursts).toEqual([]);
    expect(listen(quiet, [...first, alarm('high', 2)], 5, 61_000).bursts).toEqual(['high 61']);
  });
});
