import type { ShiftFigure } from '../messages/api-shift.ts';
import { CompensatedSum } from '../statistics/compensated-sum.ts';

/** One addend, or why there is none. */
export type Addend = number | { readonly unknown: string };

/**
 * A sum over passes that says how many of them it knows. No pass, or none that knows: null, never 0. `none` is the
 * reason where there is no pass at all.
 */
export function figureOf(addends: readonly Addend[], none: string): ShiftFigure {
  const sum = new CompensatedSum();
  const reasons = new Set<string>();
  let known = 0;
  for (const addend of addends) {
    if (typeof addend === 'number') {
      sum.add(addend);
      known++;
    } else reasons.add(addend.unknown);
  }
  const of = addends.length;
  const reason = of === 0 ? none : reasons.size === 0 ? null : [...reasons].join('; ');
  return { value: known === 0 ? null : sum.value, known, of, reason };
}
