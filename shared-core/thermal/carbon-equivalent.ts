import { type Answer, type Bounded, outOfRange, value } from '../calculations/answer.ts';

/** Elements that enter a carbon equivalent. */
export const ELEMENTS = ['C', 'Si', 'Mn', 'Cr', 'Cu', 'Mo', 'Ni', 'V', 'Nb', 'Ti', 'B'] as const;
export type Element = (typeof ELEMENTS)[number];

/** Content in % by mass; an element left out counts as 0, as a certificate that does not report it does. */
export type Composition = Readonly<Partial<Record<Element, number>>>;

const content = (composition: Composition, element: Element): number => composition[element] ?? 0;

/** Content each formula was fitted over, upper ends in % by mass; every element at least 0. */
type Limits = Readonly<Partial<Record<Element, readonly [number, number]>>>;

/** Plausible for a weldable steel: catches a content typed in the wrong unit. */
const ANY_STEEL: Limits = Object.fromEntries(
  ELEMENTS.map(element => [element, [0, element === 'C' ? 2 : 30]]),
);

const CET_LIMITS: Limits = {
  C: [0.05, 0.32],
  Si: [0, 0.8],
  Mn: [0.5, 1.9],
  Cr: [0, 1.5],
  Cu: [0, 0.7],
  Mo: [0, 0.75],
  Nb: [0, 0.06],
  Ni: [0, 2.5],
  Ti: [0, 0.12],
  V: [0, 0.18],
  B: [0, 0.005],
};
const PCM_LIMITS: Limits = { ...ANY_STEEL, C: [0, 0.18] };

function equivalent(
  composition: Composition,
  limits: Limits,
  formula: (of: (element: Element) => number) => number,
): Answer {
  const checks: Bounded[] = ELEMENTS.map(element => {
    const [min, max] = limits[element] ?? [0, 30];
    return [`content of ${element}`, content(composition, element), '%', { min, max }];
  });
  return outOfRange(...checks) ?? value(formula(element => content(composition, element)));
}

/** CE(IIW) = C + Mn/6 + (Cr + Mo + V)/5 + (Ni + Cu)/15, % by mass. Source: EN 1011-2 Annex C (method A). */
export const carbonEquivalentIiw = (composition: Composition): Answer =>
  equivalent(
    composition,
    ANY_STEEL,
    of => of('C') + of('Mn') / 6 + (of('Cr') + of('Mo') + of('V')) / 5 + (of('Ni') + of('Cu')) / 15,
  );

/**
 * Pcm = C + Si/30 + (Mn + Cu + Cr)/20 + Ni/60 + Mo/15 + V/10 + 5·B, % by mass. Source: Ito & Bessyo, IIW IX-576-68.
 * Errors: out of range above 0.18 % C.
 */
export const pcm = (composition: Composition): Answer =>
  equivalent(
    composition,
    PCM_LIMITS,
    of =>
      of('C') +
      of('Si') / 30 +
      (of('Mn') + of('Cu') + of('Cr')) / 20 +
      of('Ni') / 60 +
      of('Mo') / 15 +
      of('V') / 10 +
      5 * of('B'),
  );

/**
 * CET = C + (Mn + Mo)/10 + (Cr + Cu)/20 + Ni/40, % by mass. Source: EN 1011-2 Annex C.3 (method B).
 * Errors: out of range outside the contents it holds for (C 0.05–0.32, Mn 0.5–1.9, Si ≤ 0.8, Cr ≤ 1.5, Cu ≤ 0.7, Mo ≤ 0.75, Nb ≤ 0.06,
 * Ni ≤ 2.5, Ti ≤ 0.12, V ≤ 0.18, B ≤ 0.005).
 */
export const cet = (composition: Composition): Answer =>
  equivalent(
    composition,
    CET_LIMITS,
    of => of('C') + (of('Mn') + of('Mo')) / 10 + (of('Cr') + of('Cu')) / 20 + of('Ni') / 40,
  );

/**
 * CE of CSA Z662 = C + f·(Mn/6 + Si/24 + Cu/15 + Ni/20 + (Cr + Mo + V + Nb)/5 + 5·B), % by mass; f is the standard's compliance factor
 * for the carbon content, given by the user. Source: CSA Z662. Errors: out of range unless 0 < f ≤ 1.
 */
export function carbonEquivalentZ662(composition: Composition, complianceFactor: number): Answer {
  const wrong = outOfRange(['compliance factor', complianceFactor, '1', { min: 0, max: 1, above: true }]);
  if (wrong !== null) return wrong;
  return equivalent(
    composition,
    ANY_STEEL,
    of =>
      of('C') +
      complianceFactor *
        (of('Mn') / 6 +
          of('Si') / 24 +
          of('Cu') / 15 +
          of('Ni') / 20 +
          (of('Cr') + of('Mo') + of('V') + of('Nb')) / 5 +
          5 * of('B')),
  );
}
