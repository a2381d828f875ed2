import { commasInText, unitsInText } from '#core/units/units-in-text';
import { format, manner, phrases } from './text.ts';

/**
 * A sentence that was written in English elsewhere, as this device shows it: in its language as far as the book knows
 * it, with its units, decimal sign and clocks. Everything shown that comes as a sentence goes through here.
 */
export function said(sentence: string): string {
  const { language, units, decimal } = manner.value;
  const words = language === 'en' ? sentence : (phrases.value?.say(sentence) ?? sentence);
  const timed = words.replace(/(\d{4}-\d\d-\d\d) (\d\d:\d\d) UTC/g, (_, date: string, time: string) =>
    format().moment(Date.parse(`${date}T${time}Z`)),
  );
  const shown = unitsInText(timed, units);
  return decimal === 'comma' ? commasInText(shown) : shown;
}
