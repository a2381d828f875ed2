/** The stretches without samples that a pass's seal lists, gathered from the events as they are recorded. */
import { z } from 'zod';
import type { RigEvent } from '#core/messages/event';
import type { PassMessage } from '#core/messages/pass';
import { SEAL_GAPS_MAX, type SealGap, sealGapSchema } from '#core/record/seal';

export interface GapList {
  readonly gaps: SealGap[];
  /** More were recorded than a seal lists; each is an event of its own. */
  readonly gapsLeftOut: number;
}

const stateSchema = z.strictObject({
  passIndex: z.int().nullable(),
  gaps: z.array(sealGapSchema),
  gapsLeftOut: z.int().nonnegative(),
});

export class PassGaps {
  private passIndex: number | null = null;
  private gaps: SealGap[] = [];
  private leftOut = 0;

  constructor(saved: string | undefined) {
    if (saved === undefined) return;
    const { passIndex, gaps, gapsLeftOut } = stateSchema.parse(JSON.parse(saved));
    this.passIndex = passIndex;
    this.gaps = gaps;
    this.leftOut = gapsLeftOut;
  }

  /** True when the list changed. */
  observe(event: RigEvent): boolean {
    if (event.type === 'arcStart' && event.passIndex !== null && event.passIndex !== this.passIndex) {
      // What lies before a pass belongs to none.
      this.passIndex = event.passIndex;
      this.gaps = this.gaps.filter(gap => gap.toUs > event.tUs);
      this.leftOut = 0;
      return true;
    }
    const gap = gapOf(event);
    if (!gap) return false;
    if (this.gaps.length < SEAL_GAPS_MAX) this.gaps.push(gap);
    else this.leftOut += 1;
    return true;
  }

  /** Those of a pass that has closed; they are forgotten here. */
  take({ startUs, endUs }: Pick<PassMessage, 'startUs' | 'endUs'>): GapList {
    const gaps = this.gaps.filter(gap => gap.fromUs < endUs && gap.toUs > startUs);
    const gapsLeftOut = this.leftOut;
    this.gaps = this.gaps.filter(gap => gap.toUs > endUs);
    this.leftOut = 0;
    return { gaps, gapsLeftOut };
  }

  /** To go on from after a restart. */
  text(): string {
    return JSON.stringify({ passIndex: this.passIndex, gaps: this.gaps, gapsLeftOut: this.leftOut });
  }
}

function gapOf({ type, data }: RigEvent): SealGap | null {
  if (type !== 'signalGap' && type !== 'signalHeld') return null;
  const cause = type === 'signalHeld' ? 'held' : data['cause'] === 'storage' ? 'storage' : 'noSamples';
  const gap = sealGapSchema.safeParse({ fromUs: data['fromUs'], toUs: data['toUs'], cause });
  return gap.success ? gap.data : null;
}
