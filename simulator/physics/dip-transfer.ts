import type { Pcg32 } from '../random/pcg32.ts';
import type { TwoLevelCycle } from './two-level-cycle.ts';

/**
 * Dip (short-circuiting) transfer: the wire touches the pool 50–150 times a second, the voltage collapses
 * and the current rises; then the arc burns again.
 *
 *   short: u = Us, i = 1.25·Ī         arc: what keeps the cycle's means at Ū and Ī
 *
 * Us = 4 V (liquid bridge and extension), 15–30 % of the time short, 60–140 dips a second, each cycle drawn
 * anew: orders of magnitude for solid wire in CO2-rich gas, common practice. The mean of u·i is below Ū·Ī.
 * Validity: Ū above 10 V; below that there is no arc to return to and the level stays at Ū.
 */
const SHORT_V = 4;
const SHORT_CURRENT_RATIO = 1.25;

/** One cycle with mean current `meanA` and mean voltage `meanV`; `restlessness` 1 is a quiet process. */
export function dipCycle(random: Pcg32, meanA: number, meanV: number, restlessness: number): TwoLevelCycle {
  const periodS = (1 / 95) * (0.68 + 0.64 * random.nextUnit() * restlessness);
  const share = meanV > 10 ? 0.15 + 0.15 * random.nextUnit() : 0;
  const rest = 1 - share;
  return {
    highS: share * periodS,
    lowS: rest * periodS,
    highA: SHORT_CURRENT_RATIO * meanA,
    lowA: (meanA * (1 - SHORT_CURRENT_RATIO * share)) / rest,
    highV: SHORT_V,
    lowV: (meanV - SHORT_V * share) / rest,
  };
}
