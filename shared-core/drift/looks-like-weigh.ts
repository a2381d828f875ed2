/** Weighs one possible cause against the signs: what each sign adds or takes, in words and points. */

import { SIGN_NAMES, SIGN_ORDER, type Sign, type SignName, type Signs } from './looks-like-signs.ts';

/** What a cause of the fitted size would do to a sign. A sign that is not named is expected unchanged. */
export type Expectation =
  /** So many standard deviations off, known to a share of it; `because` is told where it is seen. */
  | { readonly kind: 'moves'; readonly z: number; readonly within: number; readonly because?: string }
  /** Up, by an amount that nothing tells. `atOnce`: it is missed where it is not seen. */
  | { readonly kind: 'up'; readonly atOnce: boolean; readonly because?: string }
  /** May do anything. */
  | { readonly kind: 'any' };

/** Something else that speaks for (points above 0) or against. */
export interface Remark {
  readonly points: number;
  readonly text: string;
}

export interface Hypothesis {
  readonly cause: string;
  /** One sentence for a person; what comes after the first is told where there is room. */
  readonly sentences: readonly string[];
  readonly expects: { readonly [K in SignName]?: Expectation };
  readonly remarks: readonly Remark[];
}

export interface Weighed {
  readonly score: number;
  /** Largest points first. */
  readonly speaksFor: readonly string[];
  readonly speaksAgainst: readonly string[];
  readonly unknown: readonly SignName[];
}

/** No single sign decides alone for a cause; one that a cause leaves unexplained may rule it out. */
const MOST_POINTS = 4;
const MOST_LOSS = 8;
/** Unrest that may come with a cause and need not speaks for it no more than this. */
const MOST_FOR_UNREST = 1.5;
/** A sign further from what is expected than this is left unexplained, standard deviations. */
const UNEXPLAINED = 2;
/** What is missed where unrest is expected and not seen. */
const UNREST_MISSED = 1.5;
/** Below this a sign is told as being as usual, standard deviations. */
const AS_USUAL = 2;
/** Less than this is not worth a sentence, points. */
const WORTH_TELLING = 0.25;

const capped = (points: number): number => Math.max(-MOST_POINTS, Math.min(MOST_POINTS, points));

/** Points of a sign: how much better the cause explains it than nothing does, less what it leaves unexplained. */
function pointsOf(sign: Sign, expected: Expectation): number {
  if (expected.kind === 'any') return 0;
  const { z } = sign;
  if (expected.kind === 'up') {
    if (z >= 1) return Math.min(expected.atOnce ? MOST_POINTS : MOST_FOR_UNREST, (z * z) / 2);
    return expected.atOnce ? -UNREST_MISSED : 0;
  }
  // Half the difference of two sums of squares: the log-likelihood ratio of normal deviations.
  const deviation = Math.sqrt(1 + (expected.within * expected.z) ** 2);
  const left = (z - expected.z) / deviation;
  const gain = expected.z === 0 ? 0 : capped((z * z - left * left) / 2);
  const loss = Math.min(MOST_LOSS, Math.max(0, (left * left - UNEXPLAINED ** 2) / 2));
  return gain - loss;
}

/** Digits that say enough: 0.34 V, 12 A. */
const digits = (value: number): string => value.toFixed(Math.abs(value) < 10 ? 1 : 0);

export const percent = (share: number): string => `${digits(Math.abs(share) * 100)} %`;
const sigmas = (z: number): string => `${digits(Math.abs(z))} σ`;

/** "wire feed 11 % low (8.0 σ)". */
export function signText(name: SignName, sign: Sign, signs: Signs): string {
  const what = SIGN_NAMES[name];
  const usual = name === 'current' && signs.line !== null ? 'on the burn-off line' : 'as on good welds';
  if (Math.abs(sign.z) < AS_USUAL) return `${what} ${usual} (${sigmas(sign.z)})`;
  const way = sign.change < 0 ? 'low' : 'high';
  if (name === 'voltage') return `${what} ${Math.abs(sign.change).toFixed(2)} V ${way} (${sigmas(sign.z)})`;
  if (name !== 'current') return `${what} ${percent(sign.share)} ${way} (${sigmas(sign.z)})`;
  const where = signs.line === null ? `${way}er than on good welds` : lineText(sign);
  return `${what} ${percent(sign.share)} ${where} (${sigmas(sign.z)})`;
}

const lineText = (sign: Sign): string =>
  sign.change < 0 ? 'below the burn-off line' : 'above the burn-off line';

function tell(name: SignName, sign: Sign, expected: Expectation, points: number, signs: Signs): string {
  const seen = signText(name, sign, signs);
  if (expected.kind === 'any') return seen;
  if (points > 0) return expected.because === undefined ? seen : `${seen}: ${expected.because}`;
  if (points === 0) return seen;
  if (expected.kind === 'up') return `${seen}: it should be up`;
  if (expected.z === 0) return `${seen}: left unexplained`;
  const should = expected.z < 0 ? 'down' : 'up';
  return Math.sign(sign.z) === Math.sign(expected.z) && Math.abs(sign.z) >= AS_USUAL
    ? `${seen}: ${Math.abs(sign.z) < Math.abs(expected.z) ? 'less' : 'more'} than expected`
    : `${seen}: it should be ${should} by ${sigmas(expected.z)}`;
}

export function weigh({ expects, remarks }: Hypothesis, signs: Signs): Weighed {
  const told: Remark[] = [];
  const asUsual: string[] = [];
  const unknown: SignName[] = [];
  let score = 0;
  for (const name of SIGN_ORDER) {
    const sign = signs.of[name];
    if (sign === null) {
      unknown.push(name);
      continue;
    }
    const expected = expects[name] ?? { kind: 'moves', z: 0, within: 0 };
    const points = pointsOf(sign, expected);
    score += points;
    const text = tell(name, sign, expected, points, signs);
    if (Math.abs(points) >= WORTH_TELLING) told.push({ points, text });
    else if (expected.kind === 'moves' && expected.z === 0 && Math.abs(sign.z) < AS_USUAL) asUsual.push(text);
  }
  for (const remark of remarks) {
    score += remark.points;
    if (Math.abs(remark.points) >= WORTH_TELLING) told.push(remark);
  }
  const sorted = (sign: 1 | -1): string[] =>
    told
      .filter(({ points }) => points * sign > 0)
      .sort((a, b) => Math.abs(b.points) - Math.abs(a.points))
      .map(({ text }) => text);
  return { score, speaksFor: [...sorted(1), ...asUsual], speaksAgainst: sorted(-1), unknown };
}
