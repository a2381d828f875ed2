import type { Shift, ShiftJoint } from '#core/messages/api-shift';
import type { enShift } from '../../text/en-shift.ts';
import { said } from '../../text/said.ts';

/** A joint with what is said beside its number; null: nothing is. */
export interface SaidJoint {
  readonly joint: string;
  readonly onHold: boolean;
  readonly words: string | null;
}

export type JointGroups = Readonly<Record<'incomplete' | 'unknown' | 'complete', readonly SaidJoint[]>>;

export function jointGroups(joints: Shift['joints'], t: typeof enShift): JointGroups {
  const of = (complete: boolean | null, words: (joint: ShiftJoint) => string | null): SaidJoint[] =>
    joints
      .filter(one => one.complete === complete)
      .map(one => ({ joint: one.joint, onHold: one.onHold, words: words(one) }));
  return {
    incomplete: of(false, one => t.missing(said(one.text ?? ''))),
    unknown: of(null, one => (one.text === null ? null : said(one.text))),
    complete: of(true, () => null),
  };
}

/** One line of it, as long as it is printed. */
export const lineOfJoint = ({ joint, onHold, words }: SaidJoint, t: typeof enShift): string =>
  [joint, ...(onHold ? [t.onHold] : []), ...(words === null ? [] : [words])].join(' ');
