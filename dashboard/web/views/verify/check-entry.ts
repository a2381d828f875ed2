import type { NewEntry } from '#core/journal/entry';
import type { Check } from '#core/journal/rig-entries';
import { shiftDateOf } from '#core/shift/shift-day';
import { typedNumber } from '../../text/typed-number.ts';

const twoDigits = (n: number): string => String(n).padStart(2, '0');
export const localDate = (at: Date): string =>
  `${at.getFullYear()}-${twoDigits(at.getMonth() + 1)}-${twoDigits(at.getDate())}`;

/** The day the shift of `now` began by the clock of this device, as proposed; the person may set another. */
export const proposedShiftDate = (now: Date): string =>
  shiftDateOf({
    year: now.getFullYear(),
    month: now.getMonth() + 1,
    day: now.getDate(),
    hour: now.getHours(),
  });

export interface EntryFrame {
  readonly site: string;
  readonly rig: string;
  readonly author: string;
  readonly shiftDate: string;
}

/** A check that passed is good for the hours asked; one that did not is good for nothing. */
export function checkEntry(frame: EntryFrame, outcome: Check, validHours: string, nowMs: number): NewEntry {
  const hours = typedNumber(validHours) ?? 0;
  return {
    author: frame.author,
    shiftDate: frame.shiftDate,
    reason: null,
    corrects: null,
    body: {
      kind: 'verification',
      site: frame.site,
      rig: frame.rig,
      validUntil: outcome.result === 'pass' ? new Date(nowMs + hours * 3_600_000).toISOString() : null,
      outcome,
    },
  };
}

export interface CorrectionInput {
  readonly channel: 'travelSpeed' | 'wireFeedSpeed';
  readonly factor: number;
  readonly previous: number;
  readonly fromMs: number;
  readonly reason: string;
}

/** Factors outside this are no trim but a fault to mend; the journal refuses them too. */
export const FACTOR_RANGE = { min: 0.5, max: 2 } as const;

export function correctionEntry(frame: EntryFrame, input: CorrectionInput): NewEntry {
  const { channel, factor, previous, fromMs } = input;
  return {
    author: frame.author,
    shiftDate: frame.shiftDate,
    reason: input.reason.trim(),
    corrects: null,
    body: {
      kind: 'correction',
      site: frame.site,
      rig: frame.rig,
      channel,
      factor,
      previous,
      from: new Date(fromMs).toISOString(),
    },
  };
}
