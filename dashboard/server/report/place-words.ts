/** Which pass, where on it, what was ruled and by whom: words the sections of a report share. */
import type { DECISIONS } from '#core/journal/decisions';
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { circumferentialPosition } from '#core/position/circumferential-position';
import { clockText } from '#core/position/clock-position';
import { fixed, WORDS } from './report-words.ts';

/** A person of the journal as the report names them. */
export type NameOf = (person: string) => string;

export const DECISION_WORDS: Readonly<Record<(typeof DECISIONS)[number], string>> = {
  accept: 'Accept',
  repair: 'Repair',
  reRepair: 'Repair again',
  cutOut: 'Cut out',
  reinspect: 'Inspect again',
  hold: 'Hold for engineering',
};

export const whichPass = ({ work }: ReviewPass): string =>
  `${work.side ?? WORDS.unknown} ${work.pass ?? WORDS.unknown}`;

/** The o'clock of a place along a pass, looking downstream; empty where it is not known. */
export function clockAlong(review: JointReview, pass: ReviewPass, alongMm: number): string {
  const { startDegrees } = pass;
  const { side } = pass.work;
  const { outsideDiameterMm } = review;
  if (side === null || startDegrees === null || outsideDiameterMm === null) return '';
  return clockText(circumferentialPosition({ alongMm, side, startDegrees, outsideDiameterMm }).clock);
}

/** `457 to 762 mm, 9:14 to 7:20`: the clock in the direction of travel. */
export function placeAlong(
  review: JointReview,
  pass: ReviewPass,
  fromMm: number | null,
  toMm: number | null,
): string {
  if (fromMm === null || toMm === null) return WORDS.unknown;
  const [from, to] = [clockAlong(review, pass, fromMm), clockAlong(review, pass, toMm)];
  return `${fixed(fromMm, 0)} to ${fixed(toMm, 0)} mm${from === '' ? '' : `, ${from} to ${to}`}`;
}
