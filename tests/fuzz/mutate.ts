/** Good input gone bad: bytes, text and JSON values, each changed in the ways that have broken readers before. */
import type { Dice } from './dice.ts';

/** Text that readers of numbers, names, paths, markup, tables and logs have been caught by. */
export const NASTY_TEXT: readonly string[] = [
  '',
  ' ',
  'NaN',
  'Infinity',
  '-0',
  '1e999',
  '0x10',
  '1_000',
  '1,5',
  '+5',
  '１２３',
  '9'.repeat(400),
  '-1',
  '9007199254740993',
  '__proto__',
  'constructor',
  'toString',
  '../../../../etc/passwd',
  '..%2f..%2fetc%2fpasswd',
  'C:\\windows\\win.ini',
  '/dev/zero',
  '<img src=x onerror=alert(1)>',
  '<svg/onload=alert(1)>',
  '"><script>alert(1)</script>',
  "=cmd|' /C calc'!A0",
  '@SUM(1+1)*cmd',
  "'; DROP TABLE records; --",
  '\u202Egnp.exe',
  '\uFEFF',
  '\uD800',
  'a\r\nSet-Cookie: x=1',
  'line\nbreak',
  '\u0000',
  '\u001b[2J',
  '😀'.repeat(50),
  'x'.repeat(10_000),
  '2026-02-30T25:61:61Z',
  '9999-12-31T23:59:59Z',
  '#',
  '+',
  '$SYS/broker',
  '%s%n%x',
  '{{7*7}}',
];

export const NASTY_NUMBERS: readonly number[] = [
  0,
  -0,
  -1,
  1,
  0.1,
  255,
  256,
  65_535,
  65_536,
  2 ** 31,
  2 ** 32,
  2 ** 53 - 1,
  2 ** 53,
  2 ** 53 + 2,
  1e308,
  -1e308,
  5e-324,
  1e15 + 0.5,
];

export function mutateBytes(dice: Dice, good: Uint8Array, limit: number): Uint8Array {
  const bytes = [...good];
  for (let k = 1 + dice.below(4); k > 0; k--) {
    const at = dice.below(bytes.length + 1);
    switch (dice.below(7)) {
      case 0:
        if (at < bytes.length) bytes[at] = bytes[at]! ^ (1 << dice.below(8));
        break;
      case 1:
        if (at < bytes.length) bytes[at] = dice.pick([0, 1, 0x0a, 0x0d, 0x2c, 0x7f, 0x80, 0xff]);
        break;
      case 2:
        bytes.splice(at, dice.below(8));
        break;
      case 3:
        bytes.splice(at, 0, ...dice.bytes(dice.below(16)));
        break;
      case 4:
        bytes.splice(at, 0, ...bytes.slice(at, at + dice.below(64)));
        break;
      case 5:
        bytes.length = at;
        break;
      default:
        bytes.splice(at, 0, ...new Array<number>(dice.below(300)).fill(dice.below(256)));
    }
  }
  return Uint8Array.from(bytes.slice(0, limit));
}

const utf8 = new TextEncoder();

export function mutateText(dice: Dice, good: string, limit: number): Uint8Array {
  if (dice.chance(0.5)) return mutateBytes(dice, utf8.encode(good), limit);
  const at = dice.below(good.length + 1);
  const to = Math.min(good.length, at + dice.below(12));
  return utf8.encode(good.slice(0, at) + dice.pick(NASTY_TEXT) + good.slice(to)).subarray(0, limit);
}

/** A copy of a JSON value with one to three places changed: another type, an edge value, a key more or less. */
export function mutateJson(dice: Dice, good: unknown): unknown {
  let value = structuredClone(good);
  for (let k = 1 + dice.below(3); k > 0; k--) value = changed(dice, value, 0);
  return value;
}

function changed(dice: Dice, value: unknown, depth: number): unknown {
  if (typeof value === 'object' && value !== null && depth < 8 && dice.chance(0.85)) {
    if (Array.isArray(value)) {
      const at = dice.below(value.length + 1);
      if (at === value.length || dice.chance(0.15)) return [...value, anything(dice)];
      return value.map((one, i) => (i === at ? changed(dice, one, depth + 1) : one));
    }
    const keys = Object.keys(value);
    const key = keys[dice.below(keys.length + 1)];
    const copy = { ...value } as Record<string, unknown>;
    if (key === undefined) {
      Object.defineProperty(copy, dice.pick(NASTY_TEXT), {
        value: anything(dice),
        enumerable: true,
        configurable: true,
        writable: true,
      });
    } else if (dice.chance(0.12)) delete copy[key];
    else copy[key] = changed(dice, copy[key], depth + 1);
    return copy;
  }
  return anything(dice, value);
}

function anything(dice: Dice, near?: unknown): unknown {
  switch (dice.below(8)) {
    case 0:
      return null;
    case 1:
      return dice.chance(0.5);
    case 2:
    case 3:
      return dice.pick(NASTY_NUMBERS);
    case 4:
    case 5:
      return dice.pick(NASTY_TEXT);
    case 6:
      return dice.chance(0.5) ? [] : {};
    default:
      return typeof near === 'number' ? near * dice.pick([-1, 1e6, 1e-6, 1 + 1e-9]) : nested(dice.below(60));
  }
}

/** JSON text of so many arrays in each other. */
export const nestedText = (depth: number): string => `${'['.repeat(depth)}1${']'.repeat(depth)}`;

function nested(depth: number): unknown {
  let value: unknown = 1;
  for (let k = 0; k < depth; k++) value = [value];
  return value;
}
