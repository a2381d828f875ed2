import { divide, multiply, power, type Rational, rational } from './rational.ts';

/**
 * Exponents of the base units metre, gram, second, ampere, kelvin, radian.
 * Source of every code and factor: The Unified Code for Units of Measure (UCUM); NIST SP 811 (2008), appendix B.
 */
export type Dimension = readonly [number, number, number, number, number, number];

export interface Atom {
  readonly factor: Rational;
  readonly dimension: Dimension;
}

const DIMENSIONLESS: Dimension = [0, 0, 0, 0, 0, 0];
const LENGTH: Dimension = [1, 0, 0, 0, 0, 0];
const VOLUME: Dimension = [3, 0, 0, 0, 0, 0];
const MASS: Dimension = [0, 1, 0, 0, 0, 0];
const TIME: Dimension = [0, 0, 1, 0, 0, 0];
const CURRENT: Dimension = [0, 0, 0, 1, 0, 0];
export const TEMPERATURE: Dimension = [0, 0, 0, 0, 1, 0];
const ANGLE: Dimension = [0, 0, 0, 0, 0, 1];
const FREQUENCY: Dimension = [0, 0, -1, 0, 0, 0];
const PRESSURE: Dimension = [-1, 1, -2, 0, 0, 0];
const ENERGY: Dimension = [2, 1, -2, 0, 0, 0];
const POWER: Dimension = [2, 1, -3, 0, 0, 0];
const VOLTAGE: Dimension = [2, 1, -3, -1, 0, 0];
const RESISTANCE: Dimension = [2, 1, -3, -2, 0, 0];

const one = rational(1n);
const kilo = rational(1000n);
const mega = rational(1_000_000n);
const centi = rational(1n, 100n);
const milli = rational(1n, 1000n);
const micro = rational(1n, 1_000_000n);

const inch = rational(254n, 10_000n);
const foot = rational(3048n, 10_000n);
const poundInGrams = rational(45_359_237n, 100_000n);
const litre = rational(1n, 1000n);
const standardGravity = rational(980_665n, 100_000n);
/** In g/(m·s²), the base units; the pascal is 1000 of them, as joule, watt, volt and ohm are of theirs. */
const poundPerSquareInch = divide(multiply(poundInGrams, standardGravity), power(inch, 2));

/** The codes that may stand in a unit, each with its exact factor to the base units. */
export const UNIT_ATOMS: ReadonlyMap<string, Atom> = new Map<string, Atom>([
  ['1', { factor: one, dimension: DIMENSIONLESS }],
  ['%', { factor: centi, dimension: DIMENSIONLESS }],
  ['m', { factor: one, dimension: LENGTH }],
  ['km', { factor: kilo, dimension: LENGTH }],
  ['cm', { factor: centi, dimension: LENGTH }],
  ['mm', { factor: milli, dimension: LENGTH }],
  ['um', { factor: micro, dimension: LENGTH }],
  ['[in_i]', { factor: inch, dimension: LENGTH }],
  ['[ft_i]', { factor: foot, dimension: LENGTH }],
  ['L', { factor: litre, dimension: VOLUME }],
  ['mL', { factor: multiply(litre, milli), dimension: VOLUME }],
  ['[cin_i]', { factor: power(inch, 3), dimension: VOLUME }],
  ['[cft_i]', { factor: power(foot, 3), dimension: VOLUME }],
  ['g', { factor: one, dimension: MASS }],
  ['mg', { factor: milli, dimension: MASS }],
  ['hg', { factor: rational(100n), dimension: MASS }],
  ['kg', { factor: kilo, dimension: MASS }],
  ['[lb_av]', { factor: poundInGrams, dimension: MASS }],
  ['s', { factor: one, dimension: TIME }],
  ['ms', { factor: milli, dimension: TIME }],
  ['us', { factor: micro, dimension: TIME }],
  ['min', { factor: rational(60n), dimension: TIME }],
  ['h', { factor: rational(3600n), dimension: TIME }],
  ['d', { factor: rational(86_400n), dimension: TIME }],
  ['Hz', { factor: one, dimension: FREQUENCY }],
  ['kHz', { factor: kilo, dimension: FREQUENCY }],
  ['A', { factor: one, dimension: CURRENT }],
  ['mA', { factor: milli, dimension: CURRENT }],
  ['kA', { factor: kilo, dimension: CURRENT }],
  ['V', { factor: kilo, dimension: VOLTAGE }],
  ['mV', { factor: one, dimension: VOLTAGE }],
  ['Ohm', { factor: kilo, dimension: RESISTANCE }],
  ['mOhm', { factor: one, dimension: RESISTANCE }],
  ['W', { factor: kilo, dimension: POWER }],
  ['kW', { factor: mega, dimension: POWER }],
  ['J', { factor: kilo, dimension: ENERGY }],
  ['kJ', { factor: mega, dimension: ENERGY }],
  ['MJ', { factor: rational(1_000_000_000n), dimension: ENERGY }],
  ['Pa', { factor: kilo, dimension: PRESSURE }],
  ['kPa', { factor: mega, dimension: PRESSURE }],
  ['MPa', { factor: rational(1_000_000_000n), dimension: PRESSURE }],
  ['bar', { factor: rational(100_000_000n), dimension: PRESSURE }],
  ['[psi]', { factor: poundPerSquareInch, dimension: PRESSURE }],
  ['K', { factor: one, dimension: TEMPERATURE }],
  ['rad', { factor: one, dimension: ANGLE }],
  ['deg', { factor: rational(1n, 180n, 1), dimension: ANGLE }],
]);
