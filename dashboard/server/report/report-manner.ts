/** How a report is written: its language, units, decimal sign and clocks. All of it is asked for, so the same asked is the same bytes. */
import { localTime } from '#core/csv/local-time';
import { ES_PHRASES } from '#core/phrases/es-phrases';
import { REPORT_PHRASES } from '#core/phrases/es-phrases-report';
import { type Phrase, PhraseBook } from '#core/phrases/phrase-book';
import type { UnitSystem } from '#core/units/shown-units';
import { commasInText, unitsInText } from '#core/units/units-in-text';

export interface ReportManner {
  readonly language: 'en' | 'es';
  readonly units: UnitSystem;
  readonly decimal: 'point' | 'comma';
  /** IANA zone of the job: its time stands first, UTC beside it. */
  readonly zone: string;
}

/** A text of the report as it is printed. */
export type Say = (text: string) => string;

const spanish = new Map<readonly Phrase[], PhraseBook>();

/** `own`: the phrases of this kind of report; some say so little that they would fit a sentence of another. */
export function sayIn(
  { language, units, decimal, zone }: ReportManner,
  own: readonly Phrase[] = REPORT_PHRASES,
): Say {
  const book = language === 'es' ? bookOf(own) : null;
  const local = localTime(zone);
  return text => {
    const words = book === null ? text : book.say(text);
    const timed =
      zone === 'UTC'
        ? words
        : words.replace(/(\d{4}-\d\d-\d\d) (\d\d:\d\d(?::\d\d)?) UTC/g, (_, date: string, time: string) => {
            const at = local(Date.parse(`${date}T${time}Z`));
            return `${at.slice(0, 10)} ${at.slice(11, 11 + time.length)} ${at.slice(23)} (${time} UTC)`;
          });
    const shown = unitsInText(timed, units);
    return decimal === 'comma' ? commasInText(shown) : shown;
  };
}

function bookOf(own: readonly Phrase[]): PhraseBook {
  const book = spanish.get(own) ?? new PhraseBook([...own, ...ES_PHRASES]);
  spanish.set(own, book);
  return book;
}
