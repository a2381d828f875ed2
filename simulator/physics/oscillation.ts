import { sineOfTurns } from '../random/sine-of-turns.ts';

/**
 * The torch swings across the groove. Near a sidewall the work comes closer:
 *
 *   x = (w/2)·sin(2π·f·t)      CTWD = CTWD0 + h·(1/2 − x²/(w/2)²)
 *
 * so the contact-tip-to-work distance, and with it the current, ripples at 2f about an unchanged mean.
 * h grows with the width, 0.1 mm per mm (a 5° bevel wall and a concave bead): of the size that
 * through-the-arc seam tracking lives on; common practice, no source. Validity: widths to 12 mm.
 */
const RISE_PER_WIDTH = 0.1;

/** CTWD change, mm, at `turns` oscillation cycles. */
export function oscillationCtwdMm(widthMm: number, turns: number): number {
  const sine = sineOfTurns(turns);
  return RISE_PER_WIDTH * widthMm * (0.5 - sine * sine);
}
