/**
 * What is known about a change along the weld when it is asked what it looks like. Everything is relative to
 * what this rig does on good welds of the same pass; null or absent is unknown, never "no change".
 */

import type { Side } from '../messages/common.ts';
import type { DriftChannel } from '../messages/drift.ts';

export interface ChannelChange {
  readonly baseline: number;
  /** Mean since the estimated onset. */
  readonly now: number;
  /** Signed, in standard deviations of good window means. */
  readonly deviations: number;
  /** Standard deviation of good window means, in the channel's unit; absent: follows from the three above. */
  readonly sigma?: number;
}

export interface ChangeEvidence {
  readonly channels: { readonly [K in DriftChannel]?: ChannelChange };
  readonly shape: 'step' | 'ramp';
  /** Weld since the onset, mm; null where travel is unknown. */
  readonly lengthMm: number | null;
  readonly side: Side | null;
  /** Where the sensor reads the feed, as the installer entered it; null: not said. */
  readonly feedReadAt: 'motor' | 'wire' | null;
  /** The voltage tap point in the installer's words. */
  readonly voltageTapPoint: string | null;
  readonly wireDiameterMm: number | null;
  /** Nominal contact tip to work distance of the pass, mm. */
  readonly nominalCtwdMm: number | null;
  /** Arc drop-outs that the arc survived since the onset, and how many good welds have in that length. */
  readonly extinctions: number;
  /** Readings of the live comparison of feed, travel and program with the procedure's passes. */
  readonly passMismatch: { readonly likelier: readonly string[] } | null;
  /** Weld since the contact tip was last changed, mm; null: not told. */
  readonly sinceTipChangeMm: number | null;
  /** Weld of this pass before the onset, mm; what was wrong from the first arc begins near 0. */
  readonly onsetMm?: number | null;
}
