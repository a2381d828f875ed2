import { type Signal, signal } from '@preact/signals';

export const THEMES = ['auto', 'day', 'night'] as const;
export type Theme = (typeof THEMES)[number];

const THEME_KEY = 'girthlog.theme';
const GLOVES_KEY = 'girthlog.gloves';

/** How this one screen is set: kept in this browser, never sent anywhere. */
export class ScreenSettings {
  readonly theme: Signal<Theme>;
  readonly gloves: Signal<boolean>;
  /** `lost`: it was on, and the browser ended it. */
  readonly awake: Signal<'off' | 'on' | 'lost' | 'unavailable'>;
  readonly #target: Window;
  #lock: WakeLockSentinel | null = null;

  constructor(target: Window) {
    this.#target = target;
    const kept = this.#read(THEME_KEY);
    this.theme = signal(THEMES.find(theme => theme === kept) ?? 'auto');
    this.gloves = signal(this.#read(GLOVES_KEY) === 'on');
    this.awake = signal('wakeLock' in target.navigator ? 'off' : 'unavailable');
  }

  /** True when the night colours are in force now. */
  night(): boolean {
    if (this.theme.value !== 'auto') return this.theme.value === 'night';
    return this.#target.matchMedia('(prefers-color-scheme: dark)').matches;
  }

  setTheme(theme: Theme): void {
    this.theme.value = theme;
    this.#write(THEME_KEY, theme);
    this.apply();
  }

  setGloves(on: boolean): void {
    this.gloves.value = on;
    this.#write(GLOVES_KEY, on ? 'on' : 'off');
    this.apply();
  }

  apply(): void {
    const { dataset } = this.#target.document.documentElement;
    dataset['theme'] = this.night() ? 'night' : 'day';
    dataset['gloves'] = this.gloves.value ? 'on' : 'off';
  }

  async setAwake(on: boolean): Promise<void> {
    if (!on) {
      const lock = this.#lock;
      this.#lock = null;
      this.awake.value = 'off';
      await lock?.release();
      return;
    }
    try {
      const lock = await this.#target.navigator.wakeLock.request('screen');
      this.#lock = lock;
      this.awake.value = 'on';
      lock.addEventListener('release', () => {
        if (this.#lock === lock) this.awake.value = 'lost';
      });
    } catch {
      this.awake.value = 'unavailable';
    }
  }

  /** The browser lets go of the lock when the page is hidden; take it again when it is back. */
  async onVisible(): Promise<void> {
    if (this.awake.value === 'lost') await this.setAwake(true);
  }

  #read(key: string): string | null {
    try {
      return this.#target.localStorage.getItem(key);
    } catch {
      return null;
    }
  }

  #write(key: string, value: string): void {
    try {
      this.#target.localStorage.setItem(key, value);
    } catch {
      // Storage is switched off in this browser: the choice lasts as long as the page.
    }
  }
}
