import type { Slice } from '../arc/slice.ts';
import { SUM } from '../arc/sums.ts';

/** Gas counts as flowing above this, L/min (our own choice, far below any shielding flow). */
const GAS_FLOWING_L_MIN = 1;

/** Whether shielding gas flows, and since when. µs of record time. */
export class GasWatch {
  known = false;
  onSinceUs: number | null = null;

  /** Where it was found not to flow; null: it flows, or nothing is known. */
  follow(slice: Slice): number | null {
    const knownS = slice.sums[SUM.gasKnownS]!;
    if (knownS <= 0) return null;
    this.known = true;
    if ((slice.sums[SUM.gasL]! * 60) / knownS >= GAS_FLOWING_L_MIN) {
      this.onSinceUs ??= slice.fromUs;
      return null;
    }
    this.onSinceUs = null;
    return slice.fromUs;
  }
}
