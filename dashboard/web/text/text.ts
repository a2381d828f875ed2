import { computed, signal } from '@preact/signals';
import type { PhraseBook } from '#core/phrases/phrase-book';
import { type ShownUnit, shownUnits, type UnitSystem } from '#core/units/shown-units';
import { en, type Texts } from './en.ts';
import { type Formats, formats } from './format.ts';
import { CATALOGUES, type Catalogue, type DecimalSign, type Language } from './languages.ts';

/** The catalogue in use. Every text on a screen is read from here. */
export const text = signal<Texts>(en);

/** Words for sentences written in English elsewhere; null in English. */
export const phrases = signal<PhraseBook | null>(null);

/** How numbers, units and times are written on this device. */
export interface Manner {
  readonly language: Language;
  readonly decimal: DecimalSign;
  readonly units: UnitSystem;
  /** IANA zone of the job; undefined, the device's own, until the server has said it. */
  readonly zone: string | undefined;
}
export const manner = signal<Manner>({
  language: 'en',
  decimal: 'point',
  units: 'metric',
  zone: undefined,
});

const current = computed(() => formats(manner.value.language, manner.value.zone, manner.value));

/** Formats of the manner in use. */
export const format = (): Formats => current.value;

/** Asked for last; an answer that comes after another was asked for is dropped. */
let asked: Language = 'en';

/**
 * Shows another language at once, or as soon as its words are here. False where they cannot be had: the page then
 * stays in the language it is in.
 */
export async function showLanguage(language: Language): Promise<boolean> {
  asked = language;
  let found: Catalogue | null;
  try {
    found = language === 'en' ? null : await CATALOGUES[language]();
  } catch {
    return false;
  }
  if (asked !== language) return true;
  text.value = found?.texts ?? en;
  phrases.value = found?.phrases ?? null;
  manner.value = { ...manner.value, language };
  return true;
}

/** How each quantity is shown here, by its name. */
export const displays = (): Readonly<Record<string, ShownUnit>> => shownUnits(manner.value.units);
