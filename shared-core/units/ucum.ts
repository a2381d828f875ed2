import { divide, multiply, power, type Rational, rational, scale } from './rational.ts';
import { type Dimension, TEMPERATURE, UNIT_ATOMS } from './unit-atoms.ts';

/**
 * A subset of UCUM codes (The Unified Code for Units of Measure) with exact factors, both ways:
 * `mm/s`, `m/min`, `[in_i]/min`, `kJ/mm`, `kJ/[in_i]`, `Cel`, `[degF]`, `kg`, `[lb_av]`, `L/min`, `[cft_i]/h` and
 * any product or quotient of the atoms in unit-atoms.ts. Case matters. An expression is read left to right.
 */
interface Unit {
  readonly factor: Rational;
  readonly dimension: Dimension;
  /** Zero point in kelvin of the scales that do not begin at zero; null for every other unit. */
  readonly offsetK: Rational | null;
}

/** Kelvin = degree × factor + offset. °C: 273.15; °F: 5/9 K per degree, 0 °F = 459.67 × 5/9 K. */
const TEMPERATURE_SCALES: ReadonlyMap<string, Unit> = new Map<string, Unit>([
  ['Cel', { factor: rational(1n), dimension: TEMPERATURE, offsetK: rational(27_315n, 100n) }],
  ['[degF]', { factor: rational(5n, 9n), dimension: TEMPERATURE, offsetK: rational(45_967n * 5n, 900n) }],
]);

const COMPONENT = /([./]?)(\[[a-z_]+\]|[A-Za-z%]+|1)(-?[1-9])?/y;

function parse(code: string): Unit | null {
  const scaleUnit = TEMPERATURE_SCALES.get(code);
  if (scaleUnit !== undefined) return scaleUnit;
  if (code.length === 0 || code.length > 40) return null;
  let factor = rational(1n);
  const dimension = [0, 0, 0, 0, 0, 0];
  COMPONENT.lastIndex = 0;
  while (COMPONENT.lastIndex < code.length) {
    const start = COMPONENT.lastIndex;
    const match = COMPONENT.exec(code);
    if (match === null) return null;
    const [, operator, name, exponentText] = match;
    // Only the first component may stand without an operator, and it may not follow a '.'.
    if (start === 0 ? operator === '.' : operator === '') return null;
    const atom = UNIT_ATOMS.get(name ?? '');
    if (atom === undefined) return null;
    const exponent = Number(exponentText ?? 1) * (operator === '/' ? -1 : 1);
    factor = multiply(factor, power(atom.factor, exponent));
    atom.dimension.forEach((value, i) => {
      dimension[i] = (dimension[i] ?? 0) + value * exponent;
    });
  }
  return { factor, dimension: dimension as unknown as Dimension, offsetK: null };
}

function unitOf(code: string): Unit {
  const unit = parse(code);
  if (unit === null)
    throw new RangeError(`"${code}" is not a unit known here: give a UCUM code such as mm/s`);
  return unit;
}

/** True if `code` is one of the UCUM codes understood here. */
export const isUnit = (code: string): boolean => parse(code) !== null;

const sameDimension = (a: Unit, b: Unit): boolean =>
  a.dimension.every((exponent, i) => exponent === b.dimension[i]);

/** True if both are known and measure the same kind of quantity, so that `convert` can answer. */
export function isCommensurable(from: string, to: string): boolean {
  const a = parse(from);
  const b = parse(to);
  return a !== null && b !== null && sameDimension(a, b);
}

/**
 * A function from values in `from` to values in `to`; make it once where many values follow.
 * @throws RangeError naming the unit, when one is unknown or the two do not measure the same quantity.
 */
export function converter(from: string, to: string): (value: number) => number {
  const source = unitOf(from);
  const target = unitOf(to);
  if (!sameDimension(source, target)) throw new RangeError(`"${from}" cannot be converted to "${to}"`);
  if (from === to) return value => value;
  const factor = divide(source.factor, target.factor);
  if (source.offsetK === null && target.offsetK === null) return value => scale(value, factor);
  // target = (source × fs + os − ot) / ft; the offset difference is exact, so 32 °F is 0 °C to the last bit.
  const zero = rational(0n);
  const from0 = source.offsetK ?? zero;
  const to0 = target.offsetK ?? zero;
  const offset = divide(
    rational(
      from0.numerator * to0.denominator - to0.numerator * from0.denominator,
      from0.denominator * to0.denominator,
    ),
    target.factor,
  );
  // value·p/q + a/b over one denominator: a single rounding.
  const p = Number(factor.numerator * offset.denominator);
  const a = Number(offset.numerator * factor.denominator);
  const q = Number(factor.denominator * offset.denominator);
  return value => (value * p + a) / q;
}

/**
 * `value` in unit `from`, given in unit `to`. NaN and infinities pass through.
 * @throws RangeError naming the unit, when one is unknown or the two do not measure the same quantity.
 */
export const convert = (value: number, from: string, to: string): number => converter(from, to)(value);
