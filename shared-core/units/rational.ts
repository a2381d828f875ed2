/** An exact factor: numerator / denominator × π^piPower. Built once per unit, so BigInt costs nothing. */
export interface Rational {
  readonly numerator: bigint;
  readonly denominator: bigint;
  readonly piPower: number;
}

const gcd = (a: bigint, b: bigint): bigint => (b === 0n ? a : gcd(b, a % b));

export function rational(numerator: bigint, denominator: bigint = 1n, piPower = 0): Rational {
  const divisor = gcd(numerator < 0n ? -numerator : numerator, denominator);
  return { numerator: numerator / divisor, denominator: denominator / divisor, piPower };
}

export const multiply = (a: Rational, b: Rational): Rational =>
  rational(a.numerator * b.numerator, a.denominator * b.denominator, a.piPower + b.piPower);

export const divide = (a: Rational, b: Rational): Rational =>
  rational(a.numerator * b.denominator, a.denominator * b.numerator, a.piPower - b.piPower);

export function power(base: Rational, exponent: number): Rational {
  let result = rational(1n);
  for (let i = 0; i < Math.abs(exponent); i++) {
    result = exponent > 0 ? multiply(result, base) : divide(result, base);
  }
  return result;
}

/** value × factor: multiply then divide by whole numbers, so a factor such as 25.4/60 is never rounded itself. */
export const scale = (value: number, factor: Rational): number =>
  ((value * Number(factor.numerator)) / Number(factor.denominator)) * Math.PI ** factor.piPower;
