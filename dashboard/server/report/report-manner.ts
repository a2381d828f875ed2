/** How a report is written: its language, units, decimal sign and clocks. All of it is asked for, so the same asked is the same bytes. */
import { localTime } from '#core/csv/local-time';
import { ES_PHRASES } from '#core/phrases/es-phrases';
import { REPORT_PHRASES } from '#core/phrases/es-phrases-report';
import { PhraseBook } from '#core/phrases/phrase-book';
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

let spanish: PhraseBook | null = null;

export function sayIn({ language, units, decimal, zone }: ReportManner): Say {
  spanish ??= new PhraseBook([...REPORT_PHRASES, ...ES_PHRASES]);
  const book = language === 'es' ? spanish : null;
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
