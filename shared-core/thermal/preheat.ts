import { type Answer, outOfRange, type Range, value } from '../calculations/answer.ts';

/** What method B of EN 1011-2 was fitted over. ReH ≤ 1000 N/mm² besides. */
export const PREHEAT_RANGE = {
  cet: { min: 0.2, max: 0.5 },
  thicknessMm: { min: 10, max: 90 },
  hydrogenMlPer100g: { min: 1, max: 20 },
  heatInputKjPerMm: { min: 0.5, max: 4 },
} as const satisfies Record<string, Range>;

/** Upper end of each scale of diffusible hydrogen, ml per 100 g of deposited metal. EN 1011-2. A is anything above 15. */
export const HYDROGEN_SCALES = { B: 15, C: 10, D: 5, E: 3 } as const;

/**
 * CET to design with: that of the parent metal, or of the weld metal + 0.03 % where the parent's is not at least 0.03 % higher.
 * Source: EN 1011-2:2001+A1:2003 Annex C.3.
 */
export const designCet = (parentCet: number, weldCet: number): number =>
  parentCet - weldCet < 0.03 ? weldCet + 0.03 : parentCet;

/**
 * Lowest preheat temperature by method B, °C:
 * Tp = 697·CET + 160·tanh(d/35) + 62·HD^0.35 + (53·CET − 32)·Q − 328; CET %, d mm, HD ml/100 g, Q kJ/mm.
 * Source: EN 1011-2:2001+A1:2003 Annex C.3, Eq. (C.8). A result below the shop's own temperature means no preheat by this method; the
 * procedure's minimum still holds. Errors: out of range outside PREHEAT_RANGE; girth passes are often below 0.5 kJ/mm.
 */
export function preheatMethodB(input: {
  readonly cetPercent: number;
  readonly thicknessMm: number;
  readonly hydrogenMlPer100g: number;
  readonly heatInputKjPerMm: number;
}): Answer {
  const { cetPercent, thicknessMm, hydrogenMlPer100g, heatInputKjPerMm } = input;
  return (
    outOfRange(
      ['CET', cetPercent, '%', PREHEAT_RANGE.cet],
      ['thickness', thicknessMm, 'mm', PREHEAT_RANGE.thicknessMm],
      ['diffusible hydrogen', hydrogenMlPer100g, 'mL/hg', PREHEAT_RANGE.hydrogenMlPer100g],
      ['heat input', heatInputKjPerMm, 'kJ/mm', PREHEAT_RANGE.heatInputKjPerMm],
    ) ??
    value(
      697 * cetPercent +
        160 * Math.tanh(thicknessMm / 35) +
        62 * hydrogenMlPer100g ** 0.35 +
        (53 * cetPercent - 32) * heatInputKjPerMm -
        328,
    )
  );
}
