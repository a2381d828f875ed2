import type { Pulse } from '#core/alarm/alarm-sound';

/** Sound of this device. `start` is called by a person's tap, without which browsers make none. */
export interface SoundOutput {
  readonly isAvailable: boolean;
  /** False when the browser has stopped it, as phones do for calls and locked screens. */
  readonly isRunning: boolean;
  start: () => Promise<void>;
  play: (pulses: readonly Pulse[]) => void;
  stop: () => Promise<void>;
}

const FADE_S = 0.012;
const LOUDNESS = 0.6;

/** Pulses through WebAudio: nothing is loaded, so nothing can be missing when it is needed. */
export class WebAudioOutput implements SoundOutput {
  readonly #target: Window & typeof globalThis;
  #context: AudioContext | null = null;

  constructor(target: Window & typeof globalThis) {
    this.#target = target;
  }

  get isAvailable(): boolean {
    return typeof this.#target.AudioContext === 'function';
  }

  get isRunning(): boolean {
    return this.#context?.state === 'running';
  }

  async start(): Promise<void> {
    this.#context ??= new this.#target.AudioContext();
    await this.#context.resume();
  }

  async stop(): Promise<void> {
    const context = this.#context;
    this.#context = null;
    await context?.close();
  }

  play(pulses: readonly Pulse[]): void {
    const context = this.#context;
    if (context === null) return;
    const now = context.currentTime + 0.02;
    for (const { startMs, lengthMs, hz } of pulses) {
      const from = now + startMs / 1000;
      const to = from + lengthMs / 1000;
      const tone = context.createOscillator();
      const gain = context.createGain();
      // Harmonics are heard through a diesel; soft edges do not click.
      tone.type = 'square';
      tone.frequency.value = hz;
      gain.gain.setValueAtTime(0, from);
      gain.gain.linearRampToValueAtTime(LOUDNESS, from + FADE_S);
      gain.gain.setValueAtTime(LOUDNESS, to - FADE_S);
      gain.gain.linearRampToValueAtTime(0, to);
      tone.connect(gain).connect(context.destination);
      tone.start(from);
      tone.stop(to);
    }
  }
}
