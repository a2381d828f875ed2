import { type Signal, signal } from '@preact/signals';
import {
  armed,
  BURST_EVERY_MS,
  burstOf,
  disarmed,
  muted,
  SOUND_OFF,
  type SoundingAlarm,
  type SoundState,
  soundDue,
  unmuted,
} from '#core/alarm/alarm-sound';
import { type AlarmStore, listed } from './alarm-store.ts';
import type { SoundOutput } from './sound-output.ts';

/** Without the server for this long nobody can be told of anything: that is told once, as MEDIUM is. */
const LINK_LOST_MS = 10_000;

/** A person listens on this device: armed by a tap, muted for a time, told when the browser stopped the sound. */
export class AlarmWatch {
  readonly sound: Signal<'off' | 'on' | 'lost' | 'unavailable'>;
  /** Time left of the mute, s; null while it is not muted. */
  readonly muteLeftS: Signal<number | null> = signal(null);
  readonly #store: AlarmStore;
  readonly #output: SoundOutput;
  readonly #monotonicMs: () => number;
  #state: SoundState = SOUND_OFF;
  #unlinkedSinceMs: number | null = null;
  #linkTold = false;

  constructor(store: AlarmStore, output: SoundOutput, monotonicMs: () => number) {
    this.#store = store;
    this.#output = output;
    this.#monotonicMs = monotonicMs;
    this.sound = signal(output.isAvailable ? 'off' : 'unavailable');
  }

  /** By a person's tap. One short pulse says that the sound works. */
  async start(): Promise<void> {
    if (!this.#output.isAvailable) return;
    this.#state = armed(this.#state, this.#alarms());
    this.sound.value = 'on';
    await this.#output.start().catch(() => undefined);
    this.#output.play(burstOf('medium').slice(0, 1));
    this.tick();
  }

  async stop(): Promise<void> {
    this.#state = disarmed(this.#state);
    this.muteLeftS.value = null;
    this.sound.value = 'off';
    await this.#output.stop().catch(() => undefined);
  }

  mute(): void {
    this.#state = muted(this.#state, this.#alarms(), this.#monotonicMs());
    this.tick();
  }

  unmute(): void {
    this.#state = unmuted(this.#state);
    this.tick();
  }

  /** Ten times a second, and with every picture. */
  tick(): void {
    const nowMs = this.#monotonicMs();
    this.#followNumbers();
    const due = soundDue(this.#state, this.#alarms(), nowMs);
    this.#state = due.state;
    if (due.burst !== null) this.#output.play(burstOf(due.burst));
    this.#lookAtLink(nowMs);
    if (this.sound.peek() === 'on' || this.sound.peek() === 'lost') {
      this.sound.value = this.#output.isRunning ? 'on' : 'lost';
    }
    const { muteUntilMs } = this.#state;
    this.muteLeftS.value = muteUntilMs === null ? null : Math.max(0, Math.ceil((muteUntilMs - nowMs) / 1000));
  }

  #alarms(): SoundingAlarm[] {
    const picture = this.#store.picture.peek();
    if (picture === null) return [];
    return listed(picture).map(({ priority, lifecycle, announcement }) => {
      return { priority, lifecycle, announcement: announcement?.number ?? null };
    });
  }

  /** Numbers that went back are those of a new store: what it announces is not to be taken for heard. */
  #followNumbers(): void {
    const newest = this.#store.picture.peek()?.newest;
    if (newest === undefined || newest >= this.#state.heardUpTo) return;
    this.#state = { ...this.#state, heardUpTo: newest, mutedUpTo: newest };
  }

  #lookAtLink(nowMs: number): void {
    if (this.#store.isLinked.peek()) {
      this.#unlinkedSinceMs = null;
      this.#linkTold = false;
      return;
    }
    this.#unlinkedSinceMs ??= nowMs;
    const { armed: listens, muteUntilMs, lastBurstMs } = this.#state;
    if (this.#linkTold || !listens || muteUntilMs !== null) return;
    if (
      nowMs - this.#unlinkedSinceMs < LINK_LOST_MS ||
      nowMs - (lastBurstMs ?? -BURST_EVERY_MS) < BURST_EVERY_MS
    )
      return;
    this.#linkTold = true;
    this.#state = { ...this.#state, lastBurstMs: nowMs };
    this.#output.play(burstOf('medium'));
  }
}
