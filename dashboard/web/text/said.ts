import type { ShownQuantity, UnitSystem } from '#core/units/shown-units';
import { convert } from '#core/units/ucum';
import { unitFromText } from '#core/units/unit-label';
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
  const shown = units === 'metric' ? timed : inUnits(timed, units);
  return decimal === 'comma'
    ? shown.replace(/(?<![\d.:\w])([+−-]?\d+)\.(\d+)(?![\d.:]|\w)/g, '$1,$2')
    : shown;
}

/** Units in sentences, each with the quantity whose unit it is shown in. */
const UNITS: readonly (readonly [string, ShownQuantity])[] = [
  ['mm/s', 'travelSpeed'],
  ['m/min', 'wireFeedSpeed'],
  ['kJ/mm', 'arcEnergy'],
  ['L/min', 'gasFlow'],
  ['°C', 'preheatTemperature'],
  ['mm', 'size'],
  ['kg', 'wireMass'],
];
const NUMBER = String.raw`[+−-]?\d+(?:\.\d+)?`;

/** "5.0 to 9.0 mm/s" → "11.8 to 21.3 in/min": a number in front of another one takes the unit of that. */
function inUnits(text: string, _units: UnitSystem): string {
  const { units } = format();
  let out = text;
  for (const [unit, quantity] of UNITS) {
    const stored = unitFromText(unit);
    const to = units[quantity];
    if (stored === null) continue;
    const shown = (number: string): string => {
      const value = Number(number.replace('−', '-'));
      const fixed = convert(value, stored, to.code).toFixed(to.decimals);
      return `${number.startsWith('+') ? '+' : ''}${fixed.replace('-', '−')}`;
    };
    const pattern = new RegExp(
      `(?:(${NUMBER})( to | a | – | and | y ))?(?<![\\w.])(${NUMBER}) ${unit}(?![\\w/])`,
      'g',
    );
    out = out.replace(
      pattern,
      (_all, first: string | undefined, between: string | undefined, last: string) =>
        first === undefined
          ? `${shown(last)} ${to.unit}`
          : `${shown(first)}${between}${shown(last)} ${to.unit}`,
    );
  }
  return out;
}
