import type { PhraseBook } from '#core/phrases/phrase-book';
import type { Texts } from './en.ts';

/** The languages of the screens; English comes with the page, the others when they are asked for. */
export const LANGUAGES = ['en', 'es'] as const;
export type Language = (typeof LANGUAGES)[number];

/** Each language by its own name, whatever language is shown. */
export const LANGUAGE_NAMES: Readonly<Record<Language, string>> = { en: 'English', es: 'Español' };

/** A language other than English: its texts, and its words for the sentences that are written in English elsewhere. */
export interface Catalogue {
  readonly texts: Texts;
  readonly phrases: PhraseBook;
}

/** The catalogues that are not part of the first page; a loader is asked once. */
export const CATALOGUES: Readonly<Record<Exclude<Language, 'en'>, () => Promise<Catalogue>>> = {
  es: () => import('./es-catalogue.ts').then(module => module.esCatalogue),
};

/** The first of the languages a browser prefers that the screens speak; English where there is none. */
export function preferredLanguage(preferred: readonly string[]): Language {
  for (const tag of preferred) {
    const found = LANGUAGES.find(language => tag.toLowerCase().split('-')[0] === language);
    if (found !== undefined) return found;
  }
  return 'en';
}

export const DECIMAL_SIGNS = ['point', 'comma'] as const;
export type DecimalSign = (typeof DECIMAL_SIGNS)[number];

/**
 * The decimal sign of a language in the region of this browser (CLDR, through Intl): a comma in Spain, a point in
 * Mexico. A browser set to another language says nothing about the region, so the language alone decides then.
 */
export function decimalSignOf(language: Language, preferred: readonly string[]): DecimalSign {
  const tag = preferred.find(one => one.toLowerCase().split('-')[0] === language) ?? language;
  let parts: Intl.NumberFormatPart[];
  try {
    parts = new Intl.NumberFormat(tag).formatToParts(1.5);
  } catch {
    parts = new Intl.NumberFormat(language).formatToParts(1.5);
  }
  return parts.find(part => part.type === 'decimal')?.value === ',' ? 'comma' : 'point';
}
