import { shownUnitOf, type UnitSystem } from './shown-units.ts';
import { convert } from './ucum.ts';
import { unitFromText } from './unit-label.ts';

/** Units that stand in sentences, each with the quantity whose unit it is shown in. */
const UNITS: readonly (readonly [string, string])[] = [
  ['mm/s', 'travelSpeed'],
  ['m/min', 'wireFeedSpeed'],
  ['kJ/mm', 'arcEnergy'],
  ['L/min', 'gasFlow'],
  ['°C', 'preheatTemperature'],
  ['mm', 'size'],
  ['kg', 'wireMass'],
];
const NUMBER = String.raw`[+−-]?\d+(?:\.\d+)?`;
const escaped = (unit: string): string => unit.replace('/', '\\/');

/**
 * Numbers with their unit in a sentence, in the units of a system: "5.0 to 9.0 mm/s" is "11.8 to 21.3 in/min" in US
 * units. A number in front of another one takes the unit of that. Metric text stays as it is.
 */
export function unitsInText(text: string, system: UnitSystem): string {
  if (system === 'metric') return text;
  let out = text;
  for (const [unit, quantity] of UNITS) {
    const stored = unitFromText(unit);
    const to = shownUnitOf(system, quantity);
    if (stored === null || to === null) continue;
    const shown = (number: string): string => {
      const value = convert(Number(number.replace('−', '-')), stored, to.code);
      return `${number.startsWith('+') ? '+' : ''}${value.toFixed(to.decimals).replace('-', '−')}`;
    };
    const found = `(?:(${NUMBER})( to | a | – | and | y ))?(?<![\\w.])(${NUMBER}) ${escaped(unit)}(?![\\w/])`;
    out = out.replace(
      new RegExp(found, 'g'),
      (_all, first: string | undefined, between: string | undefined, last: string) =>
        first === undefined
          ? `${shown(last)} ${to.unit}`
          : `${shown(first)}${between}${shown(last)} ${to.unit}`,
    );
  }
  return out;
}

/** Decimal points of the numbers in a sentence as commas; versions, times and names stay. */
export const commasInText = (text: string): string =>
  text.replace(/(?<![\d.:\w])([+−-]?\d+)\.(\d+)(?![\d.:]|\w)/g, '$1,$2');
