import { type Signal, signal } from '@preact/signals';
import { UNIT_SYSTEMS, type UnitSystem } from '#core/units/shown-units';
import {
  DECIMAL_SIGNS,
  type DecimalSign,
  decimalSignOf,
  LANGUAGES,
  type Language,
  preferredLanguage,
} from '../text/languages.ts';
import { manner, showLanguage } from '../text/text.ts';

export const THEMES = ['auto', 'day', 'night'] as const;
export type Theme = (typeof THEMES)[number];

const THEME_KEY = 'girthlog.theme';
const GLOVES_KEY = 'girthlog.gloves';
const LANGUAGE_KEY = 'girthlog.language';
const UNITS_KEY = 'girthlog.units';
const DECIMAL_KEY = 'girthlog.decimal';

/** How this one screen is set: kept in this browser, never sent anywhere. */
export class ScreenSettings {
  readonly theme: Signal<Theme>;
  readonly gloves: Signal<boolean>;
  /** Null: as the browser prefers. */
  readonly language: Signal<Language | null>;
  readonly units: Signal<UnitSystem>;
  /** Null: as the language is written in the region of this browser. */
  readonly decimal: Signal<DecimalSign | null>;
  /** `lost`: it was on, and the browser ended it. */
  readonly awake: Signal<'off' | 'on' | 'lost' | 'unavailable'>;
  readonly #target: Window;
  #lock: WakeLockSentinel | null = null;

  constructor(target: Window) {
    this.#target = target;
    const kept = this.#read(THEME_KEY);
    this.theme = signal(THEMES.find(theme => theme === kept) ?? 'auto');
    this.gloves = signal(this.#read(GLOVES_KEY) === 'on');
    const [language, units, decimal] = [LANGUAGE_KEY, UNITS_KEY, DECIMAL_KEY].map(key => this.#read(key));
    this.language = signal(LANGUAGES.find(one => one === language) ?? null);
    this.units = signal(UNIT_SYSTEMS.find(one => one === units) ?? 'metric');
    this.decimal = signal(DECIMAL_SIGNS.find(one => one === decimal) ?? null);
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

  /** Resolves when its words are on the screen, or cannot be had. */
  async setLanguage(language: Language): Promise<void> {
    this.language.value = language;
    this.#write(LANGUAGE_KEY, language);
    await this.applyWords();
  }

  setUnits(units: UnitSystem): void {
    this.units.value = units;
    this.#write(UNITS_KEY, units);
    void this.applyWords();
  }

  setDecimal(decimal: DecimalSign): void {
    this.decimal.value = decimal;
    this.#write(DECIMAL_KEY, decimal);
    void this.applyWords();
  }

  /** The language chosen here, else the first the browser prefers. */
  spoken(): Language {
    return this.language.value ?? preferredLanguage(this.#target.navigator.languages);
  }

  /** Words, numbers and units as set here; resolves when they are on the screen. */
  async applyWords(): Promise<void> {
    const language = this.spoken();
    await showLanguage(language);
    const shown = manner.value.language;
    const decimal = this.decimal.value ?? decimalSignOf(shown, this.#target.navigator.languages);
    manner.value = { ...manner.value, units: this.units.value, decimal };
    this.#target.document.documentElement.lang = shown;
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
