/**
 * Sentences that the edges and the dashboard write are English, and many of them are sealed into records: the page
 * knows each by its template and says it in its own language. What is not known stays as it was written.
 */

/** English template with `{}` for each value, and the same in the other language with `{1}`, `{2}` … for them. */
export type Phrase = readonly [english: string, other: string];

interface Pattern {
  readonly match: RegExp;
  readonly other: string;
}

/** A value ends with its sentence: what comes after is a sentence of its own. "A. Example" is a name. */
const VALUE = String.raw`((?:(?!(?<=[\p{L}\d)%]{2})[.!?]\s+[\p{Lu}\d])[\s\S])+?)`;

const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');

export class PhraseBook {
  private readonly whole = new Map<string, string>();
  private readonly patterns: readonly Pattern[];
  private readonly said = new Map<string, string>();

  constructor(phrases: readonly Phrase[]) {
    for (const [english, other] of phrases) if (!english.includes('{}')) this.whole.set(english, other);
    this.patterns = phrases
      .filter(([english]) => english.includes('{}'))
      // The one that says most by itself is tried first.
      .toSorted(([a], [b]) => b.replaceAll('{}', '').length - a.replaceAll('{}', '').length)
      .map(([english, other]) => ({
        match: new RegExp(`^${english.split('{}').map(escaped).join(VALUE)}$`, 'u'),
        other,
      }));
  }

  /** The sentence in the other language; null where neither it nor its parts are known. */
  find(sentence: string): string | null {
    const known = this.said.get(sentence);
    if (known !== undefined) return known;
    const found = this.one(sentence) ?? this.parts(sentence);
    if (found !== null) this.said.set(sentence, found);
    return found;
  }

  /** As far as it is known. */
  say(sentence: string): string {
    return this.find(sentence) ?? sentence;
  }

  private one(sentence: string): string | null {
    const whole = this.whole.get(sentence);
    if (whole !== undefined) return whole;
    for (const { match, other } of this.patterns) {
      const values = match.exec(sentence);
      // A value may be words of the book itself: a reason, a quantity.
      if (values !== null)
        return other.replace(/\{(\d)\}/g, (_, n: string) => this.say(values[Number(n)] ?? ''));
    }
    return null;
  }

  /** Sentences one after the other, each for itself, a known one as long as possible. */
  private parts(text: string): string | null {
    const ends = [...text.matchAll(/[.!?:;]\s+/g)].map(({ index, 0: end }) => index + end.length);
    for (const end of ends.toReversed()) {
      const first = this.one(text.slice(0, end).trimEnd());
      if (first !== null) return `${first} ${this.say(text.slice(end))}`;
    }
    const [end] = ends;
    if (end === undefined) return null;
    const rest = this.find(text.slice(end));
    return rest === null ? null : `${text.slice(0, end).trimEnd()} ${rest}`;
  }
}
