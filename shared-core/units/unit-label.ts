import { isUnit } from './ucum.ts';

/** How a UCUM code is written for people, where it differs from the code. */
const PIECES: readonly (readonly [string, string])[] = [
  ['[in_i]', 'in'],
  ['[ft_i]', 'ft'],
  ['[cin_i]', 'in³'],
  ['[cft_i]', 'ft³'],
  ['[lb_av]', 'lb'],
  ['[psi]', 'psi'],
  ['[degF]', '°F'],
  ['Cel', '°C'],
  ['mOhm', 'mΩ'],
  ['Ohm', 'Ω'],
  ['um', 'µm'],
  ['us', 'µs'],
  ['deg', '°'],
];

const SPELLED: ReadonlyMap<string, string> = new Map([
  ['1', ''],
  ['mL/hg', 'ml/100 g'],
  ['A-1.s-1', '1/(A·s)'],
]);

/** The unit as people write it: `[in_i]/min` → `in/min`, `Cel` → `°C`, `mm2` → `mm²`. Unknown text comes back unchanged. */
export function unitLabel(code: string): string {
  const spelled = SPELLED.get(code);
  if (spelled !== undefined) return spelled;
  return code
    .split(/([./])/)
    .map(piece => {
      if (piece === '.') return '·';
      for (const [from, to] of PIECES)
        if (piece.startsWith(from)) return to + exponent(piece.slice(from.length));
      return piece.replace(/[23]$/, exponent);
    })
    .join('');
}

const exponent = (digits: string): string => digits.replace('2', '²').replace('3', '³');

/** The UCUM code of a unit as people type it (`in/min`, `°F`, `lb/h`), or null. */
export function unitFromText(text: string): string | null {
  if (isUnit(text)) return text;
  const code = text
    .replaceAll('²', '2')
    .replaceAll('³', '3')
    .split(/([./])/)
    .map(piece => TYPED.get(piece) ?? piece)
    .join('');
  return isUnit(code) ? code : null;
}

const TYPED: ReadonlyMap<string, string> = new Map([
  ['in', '[in_i]'],
  ['ft', '[ft_i]'],
  ['ft3', '[cft_i]'],
  ['lb', '[lb_av]'],
  ['psi', '[psi]'],
  ['°C', 'Cel'],
  ['C', 'Cel'],
  ['degC', 'Cel'],
  ['°F', '[degF]'],
  ['F', '[degF]'],
  ['degF', '[degF]'],
  ['°', 'deg'],
  ['l', 'L'],
  ['ml', 'mL'],
  ['100g', 'hg'],
  ['100 g', 'hg'],
  ['in3', '[cin_i]'],
  ['kj', 'kJ'],
]);
