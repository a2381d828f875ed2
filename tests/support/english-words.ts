import { ES_PHRASES } from '#core/phrases/es-phrases';
import { en } from '../../dashboard/web/text/en.ts';
import { es } from '../../dashboard/web/text/es.ts';

const WORD = /[\p{L}’]{4,}/gu;

/** Every word of four letters or more in the texts of a catalogue; those of a function by calling it. */
function wordsOf(node: unknown, into: Set<string>): Set<string> {
  if (typeof node === 'string') {
    for (const [word] of node.matchAll(WORD)) into.add(word.toLowerCase());
  } else if (typeof node === 'function') {
    for (const args of [Array(7).fill('0'), Array(7).fill(0), Array(7).fill(2)]) {
      try {
        wordsOf((node as (...values: unknown[]) => unknown)(...args), into);
      } catch {
        // A text that takes something else.
      }
    }
  } else if (typeof node === 'object' && node !== null) {
    for (const one of Object.values(node)) wordsOf(one, into);
  }
  return into;
}

const spanish = wordsOf([es, ES_PHRASES.map(([, other]) => other)], new Set());
const english = wordsOf([en, ES_PHRASES.map(([template]) => template)], new Set());

/** Words of the English texts that no Spanish text has. */
export const ENGLISH_WORDS: ReadonlySet<string> = new Set([...english].filter(word => !spanish.has(word)));

/** The lines of a text that hold one of them, but for `known`: names and whatever people typed. */
export const englishIn = (text: string, known: ReadonlySet<string>): string[] => [
  ...new Set(
    text.split(/\n| · /).flatMap(line => {
      const found = [...line.matchAll(WORD)].map(([word]) => word.toLowerCase());
      const left = found.filter(word => ENGLISH_WORDS.has(word) && !known.has(word));
      return left.length === 0 ? [] : [`${[...new Set(left)].join(', ')}: ${line.trim().slice(0, 160)}`];
    }),
  ),
];
