import { es } from './es.ts';
import { ES_PHRASES } from './es-phrases.ts';
import type { Catalogue } from './languages.ts';
import { PhraseBook } from './phrase-book.ts';

/** Everything Spanish, in one file of the page. */
export const esCatalogue: Catalogue = { texts: es, phrases: new PhraseBook(ES_PHRASES) };
