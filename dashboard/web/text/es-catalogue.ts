import { ES_PHRASES } from '#core/phrases/es-phrases';
import { PhraseBook } from '#core/phrases/phrase-book';
import { es } from './es.ts';
import type { Catalogue } from './languages.ts';

/** Everything Spanish, in one file of the page. */
export const esCatalogue: Catalogue = { texts: es, phrases: new PhraseBook(ES_PHRASES) };
