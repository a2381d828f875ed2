/** Lanczos coefficients, g = 7, n = 9 (Press et al., Numerical Recipes, 6.1 in the form widely reprinted). */
const LANCZOS = [
  0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
  12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
] as const;

/** ln Γ(x) for x > 0, about 15 digits (Lanczos, SIAM J. Numer. Anal. 1, 1964). */
export function lnGamma(x: number): number {
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - lnGamma(1 - x);
  const z = x - 1;
  let series = LANCZOS[0];
  for (let i = 1; i < LANCZOS.length; i++) series += LANCZOS[i]! / (z + i);
  const t = z + 7.5;
  return 0.5 * Math.log(2 * Math.PI) + (z + 0.5) * Math.log(t) - t + Math.log(series);
}

const EPSILON = 1e-16;
const TINY = 1e-300;

/** Q(a, x) = Γ(a, x)/Γ(a), the upper regularised incomplete gamma function; a > 0, x ≥ 0. Abramowitz & Stegun 6.5. */
export function upperGamma(a: number, x: number): number {
  if (x <= 0) return 1;
  const front = Math.exp(a * Math.log(x) - x - lnGamma(a));
  if (x < a + 1) {
    let term = 1 / a;
    let sum = term;
    for (let n = 1; n < 10_000 && Math.abs(term) > Math.abs(sum) * EPSILON; n++) {
      term *= x / (a + n);
      sum += term;
    }
    return 1 - front * sum;
  }
  // Continued fraction by Lentz's method.
  let b = x + 1 - a;
  let c = 1 / TINY;
  let d = 1 / b;
  let fraction = d;
  for (let n = 1; n < 10_000; n++) {
    const an = -n * (n - a);
    b += 2;
    d = an * d + b;
    d = 1 / (Math.abs(d) < TINY ? TINY : d);
    c = b + an / c;
    if (Math.abs(c) < TINY) c = TINY;
    const factor = d * c;
    fraction *= factor;
    if (Math.abs(factor - 1) < EPSILON) break;
  }
  return front * fraction;
}

/** Regularised incomplete beta function I_x(a, b); a, b > 0, 0 ≤ x ≤ 1. Abramowitz & Stegun 26.5.8. */
export function incompleteBeta(a: number, b: number, x: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(b, a, 1 - x);
  const front = Math.exp(lnGamma(a + b) - lnGamma(a) - lnGamma(b) + a * Math.log(x) + b * Math.log1p(-x)) / a;
  let c = 1;
  let d = 1 - ((a + b) * x) / (a + 1);
  d = 1 / (Math.abs(d) < TINY ? TINY : d);
  let fraction = d;
  for (let m = 1; m < 10_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    let factor = 1;
    for (const numerator of [even, odd]) {
      d = 1 + numerator * d;
      d = 1 / (Math.abs(d) < TINY ? TINY : d);
      c = 1 + numerator / c;
      if (Math.abs(c) < TINY) c = TINY;
      factor = d * c;
      fraction *= factor;
    }
    if (Math.abs(factor - 1) < EPSILON) break;
  }
  return front * fraction;
}
