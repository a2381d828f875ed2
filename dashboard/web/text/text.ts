import { signal } from '@preact/signals';
import { en, type Texts } from './en.ts';
import { type Formats, formats } from './format.ts';

/** The language in use. Every text on a screen is read from here, so a second language is one more file. */
export const text = signal<Texts>(en);

let current: Formats | null = null;

/** Formats of the language in use, in the browser's zone. */
export function format(): Formats {
  current ??= formats('en');
  return current;
}
